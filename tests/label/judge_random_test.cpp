// Random cards and proposals: the rule engine against the second implementation in naive.hpp, and the laws no card may break.
#include <random>

#include "tests/label/cards.hpp"
#include "tests/label/naive.hpp"

namespace leafturn::label {
namespace {

using namespace test_cards;

constexpr int cards_tried = 20'000;

class Dice {
 public:
  explicit Dice(unsigned seed) : generator_{seed} {}
  int below(int n) { return static_cast<int>(generator_() % static_cast<unsigned>(n)); }
  bool one_in(int n) { return below(n) == 0; }
  template <class T>
  const T& of(const std::vector<T>& list) {
    return list[static_cast<std::size_t>(below(static_cast<int>(list.size())))];
  }

 private:
  std::mt19937 generator_;
};

template <class T>
Stated<T> stated(Dice& dice, const std::vector<T>& values) {
  Stated<T> s;
  if (!dice.one_in(9)) s = dice.one_in(7) ? Stated<T>::none_stated() : Stated<T>::given(dice.of(values));
  return s;
}

Use random_use(Dice& dice) {
  Use u;
  u.line = 1 + dice.below(90);
  const std::vector<std::string> entries = {"BRSOA",       "BRSOA",      "BRSOA",      "BRSOK",   "LYPES",
                                            "group:4-16B", "group:4-16", "group:5-16", "group:5", "group:8-10"};
  for (int n = 1 + dice.below(3); n > 0; --n) u.crops.push_back(dice.of(entries));
  if (dice.one_in(8)) u.except.push_back(dice.of(std::vector<std::string>{"BRSOA", "BRSJU"}));
  const std::vector<ProductRate> rates = {rate("1 floz/gal"), rate("2 floz/gal"), rate("4 tbsp/gal"), rate("3 floz/gal"),
                                          rate("1 floz/gal"), rate("2 qt/acre"),  rate("2 oz/gal")};
  u.rate_min = stated(dice, rates);
  u.rate_max = stated(dice, rates);
  u.pre_harvest_days = stated<double>(dice, {0, 1, 3, 7, 0.5});
  u.reentry = stated<Reentry>(dice, {{4, false}, {12, false}, {48, false}, {0, true}});
  u.interval_days = stated<double>(dice, {0, 5, 7, 14});
  u.max_applications = stated<int>(dice, {1, 2, 3});
  return u;
}

Card random_card(Dice& dice) {
  Card c = full_card();
  c.uses.clear();
  for (int n = dice.one_in(12) ? 0 : 1 + dice.below(3); n > 0; --n) c.uses.push_back(random_use(dice));
  c.setting = stated<CardSetting>(dice, {CardSetting::both, CardSetting::both, CardSetting::residential, CardSetting::agricultural});
  if (dice.one_in(6)) c.registration.clear();
  if (dice.one_in(6)) c.actives.clear();
  if (dice.one_in(6)) c.copied_by.clear();
  if (dice.one_in(6)) c.copied_on.reset();
  if (dice.one_in(6)) c.copied_on = Date::from_ymd(2024, 6, 1 + dice.below(20));
  if (dice.one_in(4)) c.others.push_back({"conditions.bees", "not-while-foraging", 40});
  return c;
}

Moment random_moment(Dice& dice, int first_day, int days) {
  Moment m{{*Date::from_ymd(2025, 6, 10) + Days{first_day + dice.below(days)}, 0}, dice.one_in(2)};
  if (!m.day_only) m.time.second_of_day = dice.of(std::vector<int>{0, 21'600, 59'400, 86'399});
  return m;
}

Proposal random_proposal(Dice& dice) {
  Proposal p;
  p.crop = dice.of(std::vector<std::string>{"BRSOA", "BRSOA", "BRSOA", "BRSOK", "BRSJU", "LYPES", "SOLME"});
  p.on = random_moment(dice, 0, 1);
  if (!dice.one_in(8))
    p.rate = rate(dice.of(
        std::vector<const char*>{"0.5 floz/gal", "1 floz/gal", "2 floz/gal", "2.5 floz/gal", "8 tsp/gal", "1 qt/acre", "1 oz/gal"}));
  for (int n = dice.below(3); n > 0; --n) p.harvests.push_back(random_moment(dice, -2, 12));
  if (!dice.one_in(4)) p.setting = dice.one_in(2) ? garden::Setting::residential : garden::Setting::agricultural;
  if (!dice.one_in(5)) {
    p.history.emplace();
    for (int n = dice.below(4); n > 0; --n)
      p.history->push_back({*Date::from_ymd(2025, 6, 10) + Days{dice.below(60) - 45 - (dice.one_in(4) ? 200 : 0)},
                            dice.one_in(4) ? "Another" : "Demo Oil One"});
  }
  return p;
}

std::optional<double> minutes(const std::optional<CivilTime>& t) { return t ? std::optional{naive::minutes(*t)} : std::nullopt; }

State worst(const Judgement& j, Rule rule) {
  State s = State::pass;
  for (const Outcome& o : j.outcomes)
    if (o.rule == rule) s = naive::worse(s, o.state);
  return s;
}

TEST(JudgeRandom, AgreesWithTheTableWrittenTwice) {
  Dice dice(20250610);
  const auto lib = library();
  std::map<Verdict, int> seen;
  for (int i = 0; i < cards_tried; ++i) {
    const Card card = random_card(dice);
    const Proposal p = random_proposal(dice);
    const Judgement j = judge(card, p, lib);
    const naive::Verdicts n = naive::judge(card, p, lib);
    for (const auto& [rule, state] : n.rules) ASSERT_EQ(worst(j, rule), state) << "card " << i << ", rule " << word_for(rule);
    ASSERT_EQ(j.verdict, n.verdict) << "card " << i;
    ASSERT_EQ(minutes(j.earliest_harvest), n.earliest_harvest) << "card " << i;
    ASSERT_EQ(minutes(j.reentry), n.reentry) << "card " << i;
    ++seen[j.verdict];
  }
  // Every verdict comes up, so that the agreement says something about each.
  EXPECT_EQ(seen.size(), 4U);
}

/// Cards that mostly allow: the laws below are about losing that.
Card mild_card(Dice& dice) {
  Card c = full_card();
  if (dice.one_in(2)) c.uses.push_back(full_use());
  for (Use& u : c.uses) {
    u.pre_harvest_days = Stated<double>::given(dice.below(4));
    u.reentry = Stated<Reentry>::given({1.0 + dice.below(24), false});
    if (dice.one_in(3)) u.interval_days = Stated<double>::none_stated();
    if (dice.one_in(3)) u.max_applications = Stated<int>::none_stated();
  }
  return c;
}
Proposal mild_proposal(Dice& dice) {
  Proposal p = full_proposal();
  if (dice.one_in(2)) p.harvests = {random_moment(dice, 5, 6)};
  if (dice.one_in(2)) p.history = std::vector<Past>{{*Date::parse("2025-05-20"), "Demo Oil One"}};
  return p;
}

TEST(JudgeRandom, AFieldTakenOutIsNeverPermission) {
  Dice dice(7);
  const auto lib = library();
  int allowed = 0;
  for (int i = 0; i < cards_tried; ++i) {
    const Card card = mild_card(dice);
    const Proposal p = mild_proposal(dice);
    const Verdict before = judge(card, p, lib).verdict;
    if (before == Verdict::allowed) ++allowed;
    Card less = card;
    Use& u = less.uses[static_cast<std::size_t>(dice.below(static_cast<int>(less.uses.size())))];
    switch (dice.below(7)) {
      case 0:
        u.rate_min = {};
        break;
      case 1:
        u.rate_max = {};
        break;
      case 2:
        u.pre_harvest_days = {};
        break;
      case 3:
        u.reentry = {};
        break;
      case 4:
        u.interval_days = {};
        break;
      case 5:
        u.max_applications = {};
        break;
      default:
        less.setting = {};
    }
    const Verdict after = judge(less, p, lib).verdict;
    ASSERT_TRUE(after == Verdict::unknown || (after == Verdict::refused && before == Verdict::refused)) << i;
  }
  EXPECT_GT(allowed, cards_tried / 2);
}

int badness(Verdict v) { return v == Verdict::refused ? 3 : v == Verdict::unknown ? 2 : v == Verdict::conditional ? 1 : 0; }

TEST(JudgeRandom, MoreRestrictionNeverImproves) {
  Dice dice(11);
  const auto lib = library();
  for (int i = 0; i < cards_tried; ++i) {
    const Card card = random_card(dice);
    const Proposal p = random_proposal(dice);
    if (card.uses.empty()) continue;
    const Judgement before = judge(card, p, lib);
    Card more = card;
    Use& u = more.uses[static_cast<std::size_t>(dice.below(static_cast<int>(more.uses.size())))];
    switch (dice.below(6)) {
      case 0:
        if (const double* d = u.pre_harvest_days.value()) u.pre_harvest_days = Stated<double>::given(*d + 1 + dice.below(5));
        break;
      case 1:
        if (const Reentry* r = u.reentry.value(); r != nullptr && !r->until_dry)
          u.reentry = Stated<Reentry>::given({r->hours + 6 * dice.below(5), false});
        break;
      case 2:
        if (const double* d = u.interval_days.value()) u.interval_days = Stated<double>::given(*d + 3);
        break;
      case 3:
        if (const int* n = u.max_applications.value(); n != nullptr && *n > 1) u.max_applications = Stated<int>::given(*n - 1);
        break;
      case 4:
        if (const ProductRate* r = u.rate_max.value()) {
          ProductRate lower = *r;
          lower.value *= 0.7;
          u.rate_max = Stated<ProductRate>::given(lower);
        }
        break;
      default:
        more.others.push_back({"conditions.max_temp_c", "29.0", 50});
    }
    const Judgement after = judge(more, p, lib);
    ASSERT_GE(badness(after.verdict), badness(before.verdict)) << i;
    if (before.earliest_harvest && after.earliest_harvest) {
      ASSERT_GE(*after.earliest_harvest, *before.earliest_harvest) << i;
    }
  }
}

// A planned harvest that the verdict lets pass is never before the earliest harvest it names.
TEST(JudgeRandom, WhatPassesIsNotBeforeTheEarliestHarvest) {
  Dice dice(13);
  const auto lib = library();
  int passed = 0;
  for (int i = 0; i < cards_tried; ++i) {
    const Card card = random_card(dice);
    Proposal p = random_proposal(dice);
    p.harvests = {random_moment(dice, 0, 12)};
    const Judgement j = judge(card, p, lib);
    if (!j.earliest_harvest || worst(j, Rule::pre_harvest) != State::pass || worst(j, Rule::reentry) != State::pass) continue;
    const Moment& h = p.harvests[0];
    const bool before_the_spray = h.day_only || p.on.day_only ? h.time.date < p.on.time.date : h.time < p.on.time;
    if (before_the_spray) continue;
    ++passed;
    ASSERT_GE(h.time, *j.earliest_harvest) << i;
  }
  EXPECT_GT(passed, 500);
}

}  // namespace
}  // namespace leafturn::label
