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
      "well'\n[card]\nproduct='Demo'\nsignal_word='CAUTION'\n[[active]]\nname='soap'\ncas=1\n[[use]]\ncrops=['BRSOK']\nbbch=[10,49]\n"
      "rate={min='1 floz/gal',max='2 floz/gal',per_year='3 qt/acre'}\n[water]\nbuffer_m=5\n",
      "c.toml");
  ASSERT_TRUE(card.has_value()) << card.error().code;
  std::vector<std::string> got;
  for (const auto& o : card->others) got.push_back(std::to_string(o.line) + " " + o.field + "=" + o.text);
  EXPECT_EQ(got, (std::vector<std::string>{"1 note=shake well", "4 card.signal_word=CAUTION", "7 active[1].cas=1",
                                           "10 use[1].bbch=[ 10, 49 ]", "11 use[1].rate.per_year=3 qt/acre", "13 water.buffer_m=5"}));
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
