// The strict reader: the documented form is read, and each way of breaking it is refused with line and field.
#include <gtest/gtest.h>

#include "io/dossier_toml.hpp"
#include "tests/support/data.hpp"
#include "words/catalogue.hpp"

namespace leafturn {
namespace {

// The n-th TOML block of docs/dossier.md after a heading.
std::string documented(const std::string& heading, int n = 1) {
  const std::string page = test::read_file(test::source_path("docs/dossier.md"));
  std::size_t at = page.find("\n" + heading + "\n");
  EXPECT_NE(at, std::string::npos) << heading;
  for (int i = 0; i < n; ++i) at = page.find("```toml\n", at + 1);
  at += 8;
  return page.substr(at, page.find("```", at) - at);
}
std::string documented(int n) { return documented(n == 1 ? "## A pest" : "## A crop"); }
// Both blocks: the second holds what may be left out.
std::string documented_pest_in_full() { return documented("## A pest", 1) + "\n" + documented("## A pest", 2); }

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

TEST(Reader, reads_what_a_pest_may_also_have) {
  const auto d = io::read_pest_toml(documented_pest_in_full(), "example-beetle.toml");
  ASSERT_TRUE(d) << d.error().code << " " << d.error().where.line << " " << d.error().where.field;
  EXPECT_EQ(d->migrant_north_of->value.degrees(), 43.0);
  ASSERT_EQ(d->sets.size(), 1U);
  EXPECT_EQ(pest::word_for(d->sets[0].model), "linear");
  EXPECT_EQ(d->sets[0].last, "larva-1");
  EXPECT_TRUE(d->set_used.empty());
  EXPECT_EQ(d->dispersions.at(0).b, 1.5);
  EXPECT_EQ(d->sampling.at(0).plants, 50);
  EXPECT_EQ(d->damages.at(0).kind, pest::Damage::Kind::harvested);
  EXPECT_EQ(d->signs.at(0).state, "shot-holes");
  EXPECT_EQ(d->look_alikes.at(0).scientific, "Examplia falsa");
  EXPECT_EQ(*d->enemies.at(0).high, 0.4);
  EXPECT_EQ(d->laying.interval_days->value, 3.0);
  EXPECT_EQ(d->stages[0].share->value, 0.2);
  EXPECT_EQ(d->stages[0].survival->value, 0.8);
  EXPECT_EQ(d->stages[0].detection->value, 0.6);
  EXPECT_FALSE(d->stages[1].survival);
  EXPECT_EQ(d->laying.female_share->value, 0.55);
  EXPECT_EQ(d->laying.net_reproduction->value, 5.7);
  EXPECT_EQ(d->movement.leave_per_day->high, 0.2);
  EXPECT_EQ(d->movement.distance_m->value, 25.0);
  const pest::Damage& damage = d->damages.at(0);
  EXPECT_EQ(damage.loss->per, pest::Damage::Loss::Per::individual_day);
  EXPECT_EQ(damage.loss->high, 0.004);
  EXPECT_EQ(damage.tolerated.at(0).growth, "before-flower");
  EXPECT_EQ(damage.tolerated.at(0).low, 0.2);
  EXPECT_EQ(damage.rejects.at(0).outlet, "sale");
  EXPECT_EQ(damage.rejects.at(0).low, 0.4);
  ASSERT_EQ(d->ratings.size(), 1U);
  EXPECT_EQ(d->ratings[0].means, "carbaryl");
  EXPECT_EQ(d->efficacies.size(), 1U);
}

TEST(Reader, a_set_in_use_gives_its_stages_their_rates) {
  const std::string egg = R"(lower_c = { value = 10.0, source = "made-up", known = "seen" }
constant_dd = { value = 60.0, source = "made-up", known = "fitted", note = "6 d at 20 °C" }
upper_c = { value = 34.0, source = "made-up", known = "seen" }    # optional: flat above
lethal_c = { value = 38.0, source = "made-up", known = "memory" } # optional: no development from here on
)";
  const std::string larva = R"(lower_c = { value = 10.0, source = "made-up", known = "seen" }
constant_dd = { value = 200.0, source = "made-up", known = "seen" }
)";
  const std::string share = R"(share = { value = 0.6, source = "made-up", known = "seen" }
)";
  const std::string used = "set_used = \"examplia-1990\"\n" + with(with(documented_pest_in_full(), egg, ""), larva, share);
  const auto d = io::read_pest_toml(used, "example-beetle.toml");
  ASSERT_TRUE(d) << d.error().code << " " << d.error().where.line << " " << d.error().where.field;
  EXPECT_DOUBLE_EQ(d->stages[0].rate.share, 0.25);  // 0.2 of 0.2 + 0.6
  EXPECT_DOUBLE_EQ(d->stages[1].rate.share, 0.75);
  EXPECT_EQ(d->stages[0].rate.linear()->constant.value.celsius_days(), 416.8);

  const auto code_of = [](const std::string& text) {
    const auto read = io::read_pest_toml(text, "example-beetle.toml");
    return read ? std::string("read") : read.error().code;
  };
  EXPECT_EQ(code_of(with(used, "\"examplia-1990\"\nscientific", "\"nobody-1990\"\nscientific")), "dossier.unknown_set");
  EXPECT_EQ(code_of(with(used, share, "")), "dossier.missing_field");
  EXPECT_EQ(code_of("set_used = \"examplia-1990\"\n" + documented_pest_in_full()), "dossier.two_rates");
  EXPECT_EQ(code_of(with(used, "set_used = \"examplia-1990\"\n", "")), "dossier.no_rate");
  EXPECT_EQ(code_of(with(used, "last = \"larva-1\"", "last = \"pupa\"")), "dossier.set_stages");
}

TEST(Reader, reads_each_form_of_a_rate_and_refuses_its_broken_ones) {
  const std::string own = R"(lower_c = { value = 10.0, source = "made-up", known = "seen" }
constant_dd = { value = 50.0, source = "made-up", known = "seen" }
)";
  const auto read_with = [&](const std::string& form) {
    const std::string rate = "[stage.rate]\nsource = \"made-up\"\nknown = \"seen\"\n" + form + "\n";
    // The table closes its stage, so it goes to the end of adult-new.
    const std::string spread = "spread_cv = { value = 0.3, source = \"made-up\", known = \"memory\" }\n";
    return io::read_pest_toml(with(with(documented(1), own, ""), spread, spread + rate), "example-beetle.toml");
  };
  const std::pair<const char*, const char*> good[] = {
      {"linear", "lower_c = 9\nconstant_dd = 400\nupper_c = 33\nlethal_c = 36"},
      {"briere-1", "scale = 1.2e-4\nlower_c = 8\nupper_c = 35"},
      {"briere-2", "scale = 1.1e-4\nlower_c = 8\nupper_c = 35\nm = 3.5"},
      {"lactin-2", "rho = 0.0065\nupper_c = 39\ndelta = 1.8\nlambda = -1.06"},
      {"logan-6", "psi = 0.02\nrho = 0.13\nbase_c = 0\nupper_c = 36\ndelta = 5.5"},
      {"logan-10", "alpha = 0.12\nk = 90\nrho = 0.2\nbase_c = 0\nupper_c = 38\ndelta = 1.6"},
      {"sharpe-schoolfield", "rho25 = 0.1\nha = 15000\nlow = { enthalpy = -60000, half_kelvin = 283 }"},
      {"kontodimas", "scale = 6e-5\nlower_c = 9.5\nupper_c = 36"},
      {"beta", "mu = -10\nalpha = 2.2\nbeta = 0.7\nlower_c = 8\nupper_c = 37"},
      {"table", "points = [[15.0], [20.0, 75.8], [25.0, 42.3], [35.0]]"},
  };
  for (const auto& [form, keys] : good) {
    const auto d = read_with("form = \"" + std::string(form) + "\"\n" + keys);
    ASSERT_TRUE(d) << form << " " << d.error().code << " " << d.error().where.line << " " << d.error().where.field;
    EXPECT_EQ(pest::word_for(d->stages[2].rate.model), form);
    EXPECT_EQ(pest::source_of(d->stages[2].rate.model).known, pest::Known::seen) << form;
  }
  const std::pair<const char*, const char*> bad[] = {
      {"dossier.unknown_word", "form = \"cubic\""},
      {"dossier.missing_field", "form = \"briere-1\"\nscale = 1e-4\nlower_c = 8"},
      {"dossier.thresholds_crossed", "form = \"briere-1\"\nscale = 1e-4\nlower_c = 38\nupper_c = 35"},
      {"dossier.out_of_range", "form = \"briere-1\"\nscale = 0\nlower_c = 8\nupper_c = 35"},
      {"dossier.unknown_key", "form = \"briere-1\"\nscale = 1e-4\nlower_c = 8\nupper_c = 35\nm = 2"},
      {"dossier.wrong_type", "form = \"table\"\npoints = [15.0, 20.0]"},
      {"dossier.wrong_type", "form = \"table\"\npoints = [[15.0, \"long\"]]"},
      {"dossier.rate_table", "form = \"table\"\npoints = [[15.0], [20.0, 75.8]]"},
      {"dossier.rate_table", "form = \"table\"\npoints = [[25.0, 42.3], [20.0, 75.8]]"},
      {"dossier.rate_table", "form = \"table\"\npoints = [[20.0, 75.8], [25.0, 0]]"},
  };
  for (const auto& [code, keys] : bad) {
    const auto d = read_with(keys);
    ASSERT_FALSE(d) << keys;
    EXPECT_EQ(d.error().code, code) << keys;
    EXPECT_GT(d.error().where.line, 0) << keys;
  }
}

TEST(Reader, reads_the_documented_friend) {
  const auto f = io::read_friend_toml(documented("## A friend"), "example-wasp.toml");
  ASSERT_TRUE(f) << f.error().code << " " << f.error().where.line << " " << f.error().where.field;
  EXPECT_EQ(f->roles, std::vector<std::string>{"parasitoid"});
  EXPECT_EQ(f->prey.at(0).pest, "imported-cabbageworm");
  const auto wrong = io::read_friend_toml(with(documented("## A friend"), "\"parasitoid\"]", "\"helper\"]"), "example-wasp.toml");
  ASSERT_FALSE(wrong);
  EXPECT_EQ(wrong.error().code, "dossier.unknown_word");
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

TEST(Reader, refuses_broken_lives_losses_and_ratings) {
  const Broken cases[] = {
      {"survival = { value = 0.8,", "survival = { value = 1.0,", "dossier.out_of_range", "stage.egg.survival.value"},
      {"detection = { value = 0.6,", "detection = { value = 0,", "dossier.out_of_range", "stage.egg.detection.value"},
      {"survival = { value = 0.8, source = \"made-up\", known = \"seen\" }", "survival = 0.8", "dossier.figure_without_source",
       "stage.egg.survival"},
      {"female_share = { value = 0.55,", "female_share = { value = 55,", "dossier.out_of_range", "laying.female_share.value"},
      {"leave_per_day = { low = 0.05,", "leave_per_day = { low = 0.5,", "dossier.low_above_high", "movement.leave_per_day.low"},
      {"distance_m = { value = 25,", "distance_km = { value = 25,", "dossier.unknown_key", "movement.distance_km"},
      {"per = \"individual-day\"", "per = \"week\"", "dossier.unknown_word", "damage[1].loss.per"},
      {"per = \"individual-day\"       # individual-day, individual\nstage = \"larva\"", "per = \"individual-day\"\nstage = \"tadpole\"",
       "dossier.unknown_stage", "damage.loss.stage"},
      {"measure = \"share-of-leaf\"", "measure = \"a-bit\"", "dossier.unknown_word", "damage[1].tolerated[1].measure"},
      {"outlet = \"sale\"", "outlet = \"moon\"", "dossier.unknown_word", "damage[1].reject[1].outlet"},
      {"low = 0.35\nhigh = 0.65\nsource = \"made-up\"\n", "low = 0.35\nhigh = 0.65\n", "dossier.figure_without_source", "rating[1]"},
      {"means = \"carbaryl\"\nactive = true\nstages = [\"larva\"]", "means = \"carbaryl\"\nactive = true\nstages = [\"tadpole\"]",
       "dossier.unknown_stage", "rating.carbaryl.stages"},
  };
  for (const auto& c : cases) {
    const auto d = io::read_pest_toml(with(documented_pest_in_full(), c.old_words, c.new_words), "broken.toml");
    ASSERT_FALSE(d) << c.new_words << " was taken";
    EXPECT_EQ(d.error().code, c.code) << c.new_words;
    EXPECT_EQ(d.error().where.field, c.field) << c.new_words;
    EXPECT_GT(d.error().where.line, 0) << c.new_words;
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
