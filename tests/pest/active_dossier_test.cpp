// Active ingredients: the documented form, each way of breaking it, and those built in against the tables they were read from.
#include <gtest/gtest.h>

#include "core/pest/dossier.hpp"
#include "io/active_toml.hpp"
#include "io/dossier_toml.hpp"
#include "tests/pest/dossiers.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"
#include "words/catalogue.hpp"

namespace leafturn {
namespace {

using test::check_row;
using test::From;
using test::library;

std::string documented() {
  const std::string page = test::read_file(test::source_path("docs/dossier.md"));
  std::size_t at = page.find("\n## An active ingredient\n");
  EXPECT_NE(at, std::string::npos);
  at = page.find("```toml\n", at) + 8;
  return page.substr(at, page.find("```", at) - at);
}

TEST(ActiveReader, reads_the_documented_active) {
  const auto a = io::read_active_toml(documented(), "some/folder/examplin.toml");
  ASSERT_TRUE(a) << a.error().code << " " << a.error().where.line << " " << a.error().where.field;
  EXPECT_EQ(a->id, "examplin");
  EXPECT_EQ(a->half_life_days->low, 3.0);
  EXPECT_EQ(a->half_life_days->high, 5.0);
  ASSERT_EQ(a->in_water.size(), 1U);
  EXPECT_EQ(a->in_water[0].ph, 8.0);
  EXPECT_EQ(a->in_water[0].low_hours, 19.0);
  EXPECT_EQ(a->wash_off->value, 0.4);
  EXPECT_EQ(a->window_days->high, 7.0);
  EXPECT_FALSE(a->contact_only->value);
  EXPECT_EQ(a->predators->low, pest::Harm::low);
  EXPECT_EQ(a->predators->high, pest::Harm::moderate);
  EXPECT_EQ(a->parasites->low, pest::Harm::high);
  EXPECT_EQ(a->harm_lasts->low, pest::Lasting::brief);
  EXPECT_EQ(a->bees->value, 2);
  EXPECT_EQ(a->mode_of_action.value, "5");
  const auto any = io::read_dossier_toml(documented(), "examplin.toml");
  ASSERT_TRUE(any);
  EXPECT_TRUE(std::holds_alternative<pest::Active>(*any));
}

TEST(ActiveReader, refuses_each_way_of_breaking_it) {
  struct Broken {
    const char* old_words;
    const char* new_words;
    const char* code;
    const char* field;
  };
  const Broken cases[] = {
      {"name = \"examplin\"", "nome = \"examplin\"", "dossier.missing_field", "name"},
      {"low = 3, high = 5", "low = 6, high = 5", "dossier.low_above_high", "half_life_days.low"},
      {"low = 3, high = 5", "low = 0, high = 5", "dossier.out_of_range", "half_life_days.low"},
      {"{ value = 0.4, source = \"made-up\", known = \"seen\" }", "0.4", "dossier.figure_without_source", "wash_off"},
      {"value = 0.4", "value = 40", "dossier.out_of_range", "wash_off.value"},
      {"value = false", "value = \"no\"", "dossier.wrong_type", "contact_only.value"},
      {"{ value = false, ", "{ ", "dossier.missing_field", "contact_only.value"},
      {"value = \"high\"", "value = \"terrible\"", "dossier.unknown_word", "parasites.value"},
      {"low = \"low\", high = \"moderate\"", "low = \"high\", high = \"moderate\"", "dossier.low_above_high", "predators.low"},
      {"value = \"short\"", "value = \"low\"", "dossier.unknown_word", "harm_lasts.value"},
      {"class = 2", "class = 4", "dossier.out_of_range", "bees.class"},
      {"group = \"5\"", "group = \"V\"", "dossier.bad_irac", "mode_of_action.group"},
      {"group = \"5\"", "group = \"05\"", "dossier.bad_irac", "mode_of_action.group"},
      {"group = \"5\", source = \"made-up\"", "group = \"5\"", "dossier.figure_without_source", "mode_of_action"},
      {"window_days", "window_hours", "dossier.unknown_key", "window_hours"},
  };
  for (const auto& c : cases) {
    std::string text = documented();
    const auto at = text.find(c.old_words);
    ASSERT_NE(at, std::string::npos) << c.old_words;
    text.replace(at, std::string_view(c.old_words).size(), c.new_words);
    const auto a = io::read_active_toml(text, "broken.toml");
    ASSERT_FALSE(a) << c.new_words << " was taken";
    EXPECT_EQ(a.error().code, c.code) << c.new_words;
    EXPECT_EQ(a.error().where.field, c.field) << c.new_words;
    for (const auto language : {words::Language::en, words::Language::es}) {
      const std::string said = words::say_error(a.error(), {language, garden::Units::metric});
      EXPECT_EQ(said.find("⟦"), std::string::npos) << said;
    }
  }
}

TEST(BuiltInActives, are_found_by_any_spelling) {
  EXPECT_GE(library().actives.size(), 16U);
  for (const char* name : {"Spinosad", "spinosad", "Bt kurstaki", "B. thuringiensis ssp. kurstaki", "bt-kurstaki", "soap", "kaolin"})
    EXPECT_NE(library().active_named(name), nullptr) << name;
  EXPECT_EQ(library().active_named("Bacillus thuringiensis"), nullptr);
  EXPECT_EQ(library().active_named("water"), nullptr);
  for (const auto& a : library().actives) {
    EXPECT_FALSE(a.gaps.empty()) << a.id;
    EXPECT_FALSE(a.mode_of_action.value.empty()) << a.id;
  }
}

TEST(BuiltInActives, every_active_an_efficacy_or_rating_names_is_described) {
  for (const auto& d : library().pests) {
    for (const auto& e : d.efficacies)
      if (e.is_active) {
        EXPECT_NE(library().active_named(e.means), nullptr) << d.id << " " << e.means;
      }
    for (const auto& e : d.ratings) {
      EXPECT_NE(library().active_named(e.means), nullptr) << d.id << " " << e.means;
      EXPECT_EQ(e.source.known, pest::Known::memory) << d.id << " " << e.means;
      EXPECT_TRUE(e.is_active);
    }
  }
}

// The table of the watershed model, and the California tables, as the reference restates them.
TEST(BuiltInActives, residues_and_harm_are_those_of_their_tables) {
  struct Residue {
    const char* name;
    double days, washed;
  };
  const Residue table[] = {{"carbaryl", 7, 0.55},     {"malathion", 1, 0.90},          {"permethrin", 8, 0.30},
                           {"bifenthrin", 7, 0.40},   {"lambda-cyhalothrin", 5, 0.40}, {"esfenvalerate", 8, 0.40},
                           {"cypermethrin", 5, 0.40}, {"mineral oil", 2, 0.50}};
  for (const auto& row : table) {
    const pest::Active* a = library().active_named(row.name);
    ASSERT_NE(a, nullptr) << row.name;
    check_row({std::string("active.half_life.") + a->id, "half-life on leaves (copied, so this finds slips only)",
               "open watershed model's pesticide table", "seen", From::published, row.days, 0.0, "d"},
              a->half_life_days->high);
    check_row({std::string("active.wash_off.") + a->id, "share washed off by rain (copied, so this finds slips only)",
               "open watershed model's pesticide table", "seen", From::published, row.washed, 0.0, "share"},
              a->wash_off->value);
  }
  const std::pair<const char*, pest::Harm> parasites[] = {{"carbaryl", pest::Harm::high},
                                                          {"spirotetramat", pest::Harm::low},
                                                          {"pyrethrins", pest::Harm::moderate},
                                                          {"Bt kurstaki", pest::Harm::low}};
  for (const auto& [name, harm] : parasites) EXPECT_EQ(library().active_named(name)->parasites->high, harm) << name;
}

TEST(BuiltInActives, the_gentle_kill_fewer_enemies_than_the_harsh) {
  const auto toll = [](const char* name) { return *pest::enemy_toll(*library().active_named(name)); };
  EXPECT_DOUBLE_EQ(toll("Bt kurstaki").killed, 0.10);
  EXPECT_DOUBLE_EQ(toll("Bt kurstaki").days, 3.0);
  EXPECT_DOUBLE_EQ(toll("carbaryl").killed, 0.80);
  EXPECT_DOUBLE_EQ(toll("carbaryl").days, 21.0);
  EXPECT_DOUBLE_EQ(toll("spinosad").killed, 0.5 * (0.40 + 0.25));
  EXPECT_DOUBLE_EQ(toll("spinosad").days, 6.5);
  EXPECT_FALSE(pest::enemy_toll(*library().active_named("kaolin")));
}

}  // namespace
}  // namespace leafturn
