// The strict reader: the documented form is read, and each way of breaking it is refused with line and field.
#include <gtest/gtest.h>

#include "io/dossier_toml.hpp"
#include "tests/support/data.hpp"
#include "words/catalogue.hpp"

namespace leafturn {
namespace {

// The n-th TOML block of docs/dossier.md.
std::string documented(int n) {
  const std::string page = test::read_file(test::source_path("docs/dossier.md"));
  std::size_t at = 0;
  for (int i = 0; i < n; ++i) at = page.find("```toml\n", at + 1);
  at += 8;
  return page.substr(at, page.find("```", at) - at);
}

std::string with(std::string text, const std::string& old_words, const std::string& new_words) {
  const auto at = text.find(old_words);
  EXPECT_NE(at, std::string::npos) << old_words;
  if (at != std::string::npos) text.replace(at, old_words.size(), new_words);
  return text;
}

TEST(Reader, reads_the_documented_pest) {
  const auto d = io::read_pest_toml(documented(1), "some/folder/example-beetle.toml");
  ASSERT_TRUE(d) << d.error().code << " " << d.error().where.line << " " << d.error().where.field;
  EXPECT_EQ(d->id, "example-beetle");
  EXPECT_EQ(d->eppo, "EXPLMI");
  ASSERT_EQ(d->stages.size(), 4U);
  EXPECT_EQ(d->stages[0].rate.linear()->lethal->value.celsius(), 38.0);
  EXPECT_EQ(d->stages[0].rate.linear()->constant.source.known, pest::Known::fitted);
  EXPECT_TRUE(d->stages[1].in_soil);
  EXPECT_EQ(d->biofix.kind, pest::Biofix::Kind::degree_days);
  EXPECT_EQ(d->biofix.sum->celsius_days(), 120.0);
  EXPECT_EQ(d->efficacies[0].high, 0.9);
  EXPECT_EQ(d->figures[0].low, 4.0);
}

TEST(Reader, reads_the_documented_crop) {
  const auto c = io::read_crop_toml(documented(2), "turnip.toml");
  ASSERT_TRUE(c) << c.error().code << " " << c.error().where.line << " " << c.error().where.field;
  EXPECT_EQ(c->eppo, "BRSRR");
  EXPECT_TRUE(c->label_groups.empty());
  EXPECT_EQ(c->part_groups.at(0).part, "leaf");
  EXPECT_EQ(c->days_high->value, 60.0);
}

struct Broken {
  const char* old_words;
  const char* new_words;
  const char* code;
  const char* field;
};

TEST(Reader, refuses_each_way_of_breaking_it_with_line_and_field) {
  const Broken cases[] = {
      {"lower_c = { value = 10.0, source = \"made-up\", known = \"seen\" }", "lower_c = 10.0", "dossier.figure_without_source",
       "stage.egg.lower_c"},
      {"lower_c = { value = 10.0, source = \"made-up\", known = \"seen\" }", "lower_c = { value = 10.0, known = \"seen\" }",
       "dossier.figure_without_source", "stage.egg.lower_c"},
      {"lower_c = { value = 10.0, source = \"made-up\", known = \"seen\" }", "lower_c = { value = 10.0, source = \"made-up\" }",
       "dossier.figure_without_source", "stage.egg.lower_c"},
      {"unit = \"d\"\nsource = \"made-up\"", "unit = \"d\"", "dossier.figure_without_source", "figure.egg_days"},
      {"known = \"fitted\", note = \"6 d at 20 °C\"", "known = \"fitted\"", "dossier.fitted_without_note", "stage.egg.constant_dd.note"},
      {"known = \"fitted\"", "known = \"guessed\"", "dossier.unknown_word", "stage.egg.constant_dd.known"},
      {"source = \"made-up\", known = \"fitted\"", "source = \"nowhere\", known = \"fitted\"", "dossier.unknown_source",
       "stage.egg.constant_dd.source"},
      {"[sources.practice]", "[sources.spare]\ncitation = \"x\"\n[sources.practice]", "dossier.unused_source", "sources.spare"},
      {"source = \"practice\"\nknown = \"practice\"", "source = \"practice\"\nknown = \"seen\"", "dossier.practice_source",
       "efficacy[1].source"},
      {"value = 60.0", "value = -60.0", "dossier.out_of_range", "stage.egg.constant_dd.value"},
      {"value = 60.0", "value = nan", "dossier.out_of_range", "stage.egg.constant_dd.value"},
      {"value = 60.0", "value = \"60\"", "dossier.wrong_type", "stage.egg.constant_dd.value"},
      {"family = \"Chrysomelidae\"", "famly = \"Chrysomelidae\"", "dossier.missing_field", "family"},
      {"in_soil = true ", "in_soyl = true ", "dossier.unknown_key", "stage.larva-1.in_soyl"},
      {"value = 34.0", "value = 9.0", "dossier.thresholds_crossed", "stage.egg.upper_c"},
      {"key = \"larva-1\"", "key = \"grub-1\"", "dossier.stage_key", "stage.grub-1.key"},
      {"key = \"adult-laying\"", "key = \"adult-new\"", "dossier.duplicate", "stage.adult-new"},
      {"kind = \"degree-days\"", "kind = \"moon\"", "dossier.unknown_word", "biofix.kind"},
      {"month = 3 ", "month = 13", "dossier.out_of_range", "biofix.month"},
      {"day = 1\n", "day = 1.5\n", "dossier.wrong_type", "biofix.day"},
      {"stage = \"larva\" ", "stage = \"tadpole\" ", "dossier.unknown_stage", "threshold.stage"},
      {"low = 0.5 ", "low = 0.95", "dossier.low_above_high", "efficacy[1].low"},
      {"code = \"EXPLMI\"", "code = \"explmi\"", "dossier.bad_eppo", "eppo.code"},
      {"SOLTU = {", "soltu = {", "dossier.bad_eppo", "hosts.soltu"},
      {"order = \"Coleoptera\"", "order = \"Coleoptera", "dossier.not_toml", ""},
  };
  for (const auto& c : cases) {
    const auto d = io::read_pest_toml(with(documented(1), c.old_words, c.new_words), "broken.toml");
    ASSERT_FALSE(d) << c.new_words << " was taken";
    EXPECT_EQ(d.error().code, c.code) << c.new_words;
    EXPECT_EQ(d.error().where.field, c.field) << c.new_words;
    EXPECT_EQ(d.error().where.file, "broken.toml");
    EXPECT_GT(d.error().where.line, 0) << c.new_words;
    for (const auto language : {words::Language::en, words::Language::es}) {
      const std::string said = words::say_error(d.error(), {language, garden::Units::metric});
      EXPECT_EQ(said.find("⟦"), std::string::npos) << said;
    }
  }
}

TEST(Reader, tells_the_line_of_the_figure) {
  const std::string page = with(documented(1), "value = 60.0", "value = -60.0");
  const auto d = io::read_pest_toml(page, "broken.toml");
  ASSERT_FALSE(d);
  int line = 1;
  for (std::size_t i = 0; i < page.find("-60.0"); ++i) line += page[i] == '\n' ? 1 : 0;
  EXPECT_EQ(d.error().where.line, line);
}

TEST(Reader, refuses_broken_crops) {
  const Broken cases[] = {
      {"part = \"leaf\"", "part = \"fruit\"", "dossier.unknown_word", "label_group.4-16B.part"},
      {"parts = [\"root\", \"leaf\"]", "parts = []", "dossier.missing_field", "parts"},
      {"parts = [\"root\", \"leaf\"]", "parts = \"root\"", "dossier.wrong_type", "parts"},
      {"low = 40", "low = 70", "dossier.low_above_high", "days.low"},
      {"family = \"1CRUF\"", "family = \"crucifers\"", "dossier.bad_eppo", "family"},
      {"high = 60\nsource = \"eppo\"", "high = 60", "dossier.figure_without_source", "days"},
  };
  for (const auto& c : cases) {
    const auto d = io::read_crop_toml(with(documented(2), c.old_words, c.new_words), "broken.toml");
    ASSERT_FALSE(d) << c.new_words << " was taken";
    EXPECT_EQ(d.error().code, c.code) << c.new_words;
    EXPECT_EQ(d.error().where.field, c.field) << c.new_words;
  }
}

TEST(Reader, survives_bytes_that_are_no_text) {
  for (const char* bytes : {"", "\xff\xfe", "[[[[", "a = {", "sources = 3"}) {
    EXPECT_FALSE(io::read_pest_toml(bytes, "x.toml"));
    EXPECT_FALSE(io::read_crop_toml(bytes, "x.toml"));
  }
}

}  // namespace
}  // namespace leafturn
