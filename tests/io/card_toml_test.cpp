#include "io/card_toml.hpp"

#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

using label::Card;

std::string example_of_the_page() {
  const std::string page = test::read_file(test::source_path("docs/card.md"));
  const std::size_t start = page.find("```toml\n") + 8;
  return page.substr(start, page.find("```", start) - start);
}

TEST(CardToml, ReadsTheExampleOfThePage) {
  const auto card = read_card_toml(example_of_the_page(), "card.md");
  ASSERT_TRUE(card.has_value()) << card.error().code << " " << card.error().where.field;
  EXPECT_EQ(card->product, "Demo Oil One");
  EXPECT_EQ(card->registration, "DEMO-0001");
  EXPECT_EQ(*card->setting.value(), label::CardSetting::both);
  EXPECT_EQ(card->copied_by, "lead");
  EXPECT_EQ(card->copied_on, Date::from_ymd(2026, 3, 2));
  ASSERT_EQ(card->actives.size(), 1U);
  EXPECT_EQ(card->actives[0].mode_of_action, "UN");
  ASSERT_EQ(card->uses.size(), 2U);
  const label::Use& first = card->uses[0];
  EXPECT_EQ(first.crops, (std::vector<std::string>{"BRSOK", "group:4-16B"}));
  EXPECT_EQ(first.except, (std::vector<std::string>{"BRSJU"}));
  EXPECT_EQ(first.rate_min.value()->as_given, "1 floz/gal");
  EXPECT_EQ(first.rate_max.value()->as_given, "2 floz/gal");
  EXPECT_EQ(*first.pre_harvest_days.value(), 0.0);
  EXPECT_EQ(first.reentry.value()->hours, 4.0);
  EXPECT_TRUE(first.max_applications.says_none());
  EXPECT_EQ(first.line, 13);
  EXPECT_EQ(card->uses[1].rate_min.value()->as_given, card->uses[1].rate_max.value()->as_given);
  EXPECT_EQ(*card->uses[1].max_applications.value(), 4);
  ASSERT_EQ(card->others.size(), 3U);
  EXPECT_EQ(card->others[0].field, "conditions.max_temp_c");
  EXPECT_EQ(card->others[0].text, "29.0");
  EXPECT_EQ(card->others[2].text, "not-while-foraging");
  EXPECT_GT(card->others[2].line, card->others[0].line);
}

TEST(CardToml, WhatIsNotCopiedStaysUnknown) {
  const auto card = read_card_toml("[card]\nproduct = \"Demo\"\n[[use]]\ncrops = \"brsok\"\n", "c.toml");
  ASSERT_TRUE(card.has_value());
  EXPECT_FALSE(card->setting.is_copied());
  EXPECT_FALSE(card->copied_on);
  const label::Use& u = card->uses[0];
  EXPECT_EQ(u.crops, (std::vector<std::string>{"BRSOK"}));
  EXPECT_FALSE(u.rate_min.is_copied() || u.rate_max.is_copied() || u.pre_harvest_days.is_copied() || u.reentry.is_copied() ||
               u.interval_days.is_copied() || u.max_applications.is_copied());
}

TEST(CardToml, NoneStatedIsCopied) {
  const auto card = read_card_toml(
      "[card]\nproduct='Demo'\nsetting='none-stated'\n[[use]]\ncrops=['BRSOK']\nrate='none-stated'\npre_harvest_days='none-stated'\n"
      "reentry_hours='none-stated'\ninterval_days='none-stated'\nmax_applications='none-stated'\n",
      "c.toml");
  ASSERT_TRUE(card.has_value());
  const label::Use& u = card->uses[0];
  EXPECT_TRUE(card->setting.says_none() && u.rate_min.says_none() && u.rate_max.says_none() && u.pre_harvest_days.says_none() &&
              u.reentry.says_none() && u.interval_days.says_none() && u.max_applications.says_none());
}

TEST(CardToml, UnknownKeysAreKeptWithTheirLine) {
  const auto card = read_card_toml(
      "note = 'shake "
      "well'\n[card]\nproduct='Demo'\nscent='mint'\n[[active]]\nname='soap'\ncas=1\n[[use]]\ncrops=['BRSOK']\nbbch=[10,49]\n"
      "rate={min='1 floz/gal',max='2 floz/gal',per_year='3 qt/acre'}\n[water]\nbuffer_m=5\n",
      "c.toml");
  ASSERT_TRUE(card.has_value()) << card.error().code;
  std::vector<std::string> got;
  for (const auto& o : card->others) got.push_back(std::to_string(o.line) + " " + o.field + "=" + o.text);
  EXPECT_EQ(got, (std::vector<std::string>{"1 note=shake well", "4 card.scent=mint", "7 active[1].cas=1", "10 use[1].bbch=[ 10, 49 ]",
                                           "11 use[1].rate.per_year=3 qt/acre", "13 water.buffer_m=5"}));
}

TEST(CardToml, ReadsConditionsAsPrintedAndKeepsThemAsStatements) {
  const auto card = read_card_toml(
      "[card]\nproduct='Demo'\nexpires=2027-12-31\nsignal_word='DANGER-POISON'\nppe_handler=['gloves','goggles']\n[conditions]\n"
      "max_temp='85F'\nmin_temp_c=4.5\nmax_wind='10mph'\nmin_wind='none-stated'\nbuffer='25ft'\ndroplets='medium'\ninversion_ban=true\n"
      "bees='visiting'\nrainfast_hours=4\n",
      "c.toml");
  ASSERT_TRUE(card.has_value()) << card.error().code << " " << card.error().where.field;
  const label::Conditions& c = card->conditions;
  EXPECT_NEAR(c.temp_max.value()->fahrenheit(), 85.0, 1e-9);
  EXPECT_EQ(c.temp_min.value()->celsius(), 4.5);
  EXPECT_NEAR(c.wind_max.value()->miles_per_hour(), 10.0, 1e-9);
  EXPECT_TRUE(c.wind_min.says_none());
  EXPECT_NEAR(c.buffer.value()->feet(), 25.0, 1e-9);
  EXPECT_EQ(*c.droplets.value(), label::Droplets::medium);
  EXPECT_TRUE(*c.inversion_ban.value());
  EXPECT_EQ(*c.bees.value(), label::Bees::visiting);
  EXPECT_FALSE(c.humidity_min.is_copied());
  // What the label says none of needs no reading; the rest is shown as it was written.
  EXPECT_EQ(card->others.size(), 8U);
  EXPECT_EQ(card->expires.value()->iso(), "2027-12-31");
  EXPECT_EQ(card->signal.value()->word, label::Signal::Word::danger_poison);
}

TEST(CardToml, ReadsEveryLineOfTheDirections) {
  const auto card = read_card_toml(
      "[card]\nproduct='Demo'\n[[use]]\ncrops=['BRSOK']\nmethod='foliar'\npests=['PLUTMA',{pest='PIERRA',rate={max='1 qt/acre'}}]\n"
      "rate={min='1 qt/acre',max='2 qt/acre'}\nwater={min='20 gal/acre',max='none-stated'}\n"
      "max_product={amount='6 qt/acre',per='season'}\nmax_active={amount='1.5 lb/acre',per='crop'}\nmax_consecutive=2\n"
      "plant_back=[{crop='LYPES',days=30},{crop='other',days=120}]\ngrowth_stage=[10,49]\nbloom_ban=true\ngreenhouse='none-stated'\n"
      "adjuvant='banned'\nfeed_days=14\n",
      "c.toml");
  ASSERT_TRUE(card.has_value()) << card.error().code << " " << card.error().where.field;
  EXPECT_TRUE(card->others.empty());
  const label::Use& u = card->uses[0];
  EXPECT_EQ(*u.method.value(), label::Method::foliar);
  ASSERT_EQ(u.pests.value()->size(), 2U);
  EXPECT_EQ(u.pests.value()->at(1).rate_max->as_given, "1 qt/acre");
  EXPECT_FALSE(u.pests.value()->at(1).rate_min);
  EXPECT_NEAR(*u.water_min.value() * 4046.8564224 / 3.785411784, 20.0, 1e-9);
  EXPECT_TRUE(u.water_max.says_none());
  EXPECT_EQ(u.max_product.value()->scope, label::Scope::season);
  EXPECT_EQ(u.max_active.value()->amount.as_given, "1.5 lb/acre");
  EXPECT_EQ(*u.max_consecutive.value(), 2);
  ASSERT_EQ(u.plant_back.value()->size(), 2U);
  EXPECT_TRUE(u.plant_back.value()->at(1).crop.empty());
  EXPECT_EQ(u.growth_stage.value()->to, 49);
  EXPECT_TRUE(*u.bloom_ban.value());
  EXPECT_TRUE(u.greenhouse.says_none());
  EXPECT_EQ(*u.adjuvant.value(), label::Adjuvant::banned);
  EXPECT_EQ(*u.feed_days.value(), 14.0);
}

TEST(CardToml, ADraftTellsEverythingThatIsWrong) {
  const CardDraft draft = draft_card_toml(
      "[card]\nproduct='Demo'\nsignal_system='clp'\nsignal_word='CAUTION'\n[[use]]\ncrops=['BRSOK']\npre_harvest_days=-1\n"
      "growth_stage=[50,40]\nmax_active={amount='1 lb/acre'}\n[conditions]\nmax_temp='warm'\n",
      "c.toml");
  std::vector<std::string> fields;
  for (const Error& e : draft.errors) fields.push_back(std::to_string(e.where.line) + " " + e.where.field);
  EXPECT_EQ(fields, (std::vector<std::string>{"4 card.signal_word", "7 use[1].pre_harvest_days", "9 use[1].max_active",
                                              "8 use[1].growth_stage", "11 conditions.max_temp"}));
}

struct Broken {
  const char* file;
  const char* code;
  int line;
  const char* field;
};

TEST(CardToml, BrokenCardsAreRefusedWithFileLineAndField) {
  const Broken rows[] = {
      {"syntax.toml", "card.not_toml", 2, ""},
      {"no-card-table.toml", "card.no_card_table", 1, "card"},
      {"no-product.toml", "card.field_missing", 1, "card.product"},
      {"setting-word.toml", "card.unknown_word", 3, "card.setting"},
      {"copied-on.toml", "card.wrong_type", 3, "card.copied_on"},
      {"rate-two-amounts.toml", "label.rate_unreadable", 5, "use[1].rate"},
      {"rate-number.toml", "card.wrong_type", 5, "use[1].rate.max"},
      {"rate-bases.toml", "card.rate_bases_differ", 5, "use[1].rate"},
      {"rate-reversed.toml", "card.min_above_max", 5, "use[1].rate"},
      {"rate-zero.toml", "label.rate_not_positive", 5, "use[1].rate"},
      {"pre-harvest-text.toml", "card.wrong_type", 6, "use[1].pre_harvest_days"},
      {"pre-harvest-negative.toml", "card.impossible", 7, "use[2].pre_harvest_days"},
      {"reentry-word.toml", "card.wrong_type", 5, "use[1].reentry_hours"},
      {"max-half.toml", "card.wrong_type", 5, "use[1].max_applications"},
      {"crop-name.toml", "card.crop_unreadable", 4, "use[1].crops"},
      {"use-without-crops.toml", "card.field_missing", 3, "use[1].crops"},
      {"use-not-list.toml", "card.wrong_type", 3, "use"},
      {"active-without-name.toml", "card.field_missing", 3, "active[1].name"},
  };
  for (const Broken& row : rows) {
    const auto card = read_card_toml(test::read_file(test::source_path(std::string("tests/io/broken/cards/") + row.file)), row.file);
    ASSERT_FALSE(card.has_value()) << row.file;
    EXPECT_EQ(card.error().code, row.code) << row.file;
    EXPECT_EQ(card.error().where.file, row.file);
    EXPECT_EQ(card.error().where.line, row.line) << row.file;
    EXPECT_EQ(card.error().where.field, row.field) << row.file;
    EXPECT_EQ(card.error().kind, ErrorKind::bad_input);
  }
}

TEST(CardToml, RefusesWhatIsNotTextOrFarTooLong) {
  EXPECT_EQ(read_card_toml(std::string_view("\x00\xff\xfe", 3), "c").error().code, "card.not_toml");
  EXPECT_EQ(read_card_toml("", "c").error().code, "card.no_card_table");
  EXPECT_EQ(read_card_toml(std::string(300000, '#'), "c").error().code, "card.too_large");
  EXPECT_EQ(read_card_toml("[card]\nproduct='x'\n[[use]]\ncrops=['BRSOK']\ninterval_days=nan\n", "c").error().code, "card.impossible");
  EXPECT_EQ(read_card_toml("[card]\nproduct='x'\n[[use]]\ncrops=['BRSOK']\nmax_applications=0\n", "c").error().code, "card.wrong_type");
}

}  // namespace
}  // namespace leafturn::io
