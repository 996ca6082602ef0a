// Random cards and proposals: the rule engine against the second implementation in naive.hpp, and the laws no card may break.
#include "tests/label/naive.hpp"
#include "tests/label/random_cases.hpp"

namespace leafturn::label {
namespace {

using namespace test_cards;

constexpr int cards_compared = 100'000;
constexpr int cards_tried = 20'000;

std::optional<double> minutes(const std::optional<CivilTime>& t) { return t ? std::optional{naive::minutes(*t)} : std::nullopt; }

State worst(const Judgement& j, Rule rule) {
  State s = State::pass;
  for (const Outcome& o : j.outcomes)
    if (o.rule == rule) s = naive::worse(s, o.state);
  return s;
}

/// What the two say differently; empty when they agree.
std::string difference(const Judgement& j, const naive::Verdicts& n) {
  for (int r = 0; r <= static_cast<int>(Rule::other); ++r) {
    const Rule rule = static_cast<Rule>(r);
    const auto theirs = n.rules.find(rule);
    const State state = theirs == n.rules.end() ? State::pass : theirs->second;
    if (worst(j, rule) != state)
      return std::string(word_for(rule)) + ": " + std::string(word_for(worst(j, rule))) + ", the table says " +
             std::string(word_for(state));
  }
  if (j.verdict != n.verdict) return "verdict";
  if (minutes(j.earliest_harvest) != n.earliest_harvest) return "earliest harvest";
  if (minutes(j.reentry) != n.reentry) return "re-entry";
  return {};
}

TEST(JudgeRandom, AgreesWithTheTableWrittenTwice) {
  const auto lib = library();
  std::map<Verdict, int> seen;
  std::map<std::pair<Rule, State>, int> answered;
  for (int i = 0; i < cards_compared; ++i) {
    Dice dice(seed_of_run(), i);
    const auto [card, p] = random_case(dice);
    const Judgement j = judge(card, p, lib);
    ASSERT_EQ(difference(j, naive::judge(card, p, lib)), "") << "case " << i << " of seed " << seed_of_run();
    ++seen[j.verdict];
    for (const Outcome& o : j.outcomes) ++answered[{o.rule, o.state}];
  }
  // Every verdict comes up, and every rule in every way it can answer often enough to say something.
  EXPECT_EQ(seen.size(), 4U);
  for (int r = 0; r <= static_cast<int>(Rule::other); ++r) {
    int ways = 0;
    for (const State s : {State::pass, State::conditional, State::refused, State::unknown})
      if (answered[{static_cast<Rule>(r), s}] >= 20) ++ways;
    const bool one_way = static_cast<Rule>(r) == Rule::copied || static_cast<Rule>(r) == Rule::other;
    EXPECT_GE(ways, one_way ? 1 : 2) << word_for(static_cast<Rule>(r));
  }
}

// The comparison above must notice each of these: a rule left out, a boundary moved, a case dropped.
TEST(JudgeRandom, EverySpoiledRuleIsNoticed) {
  const auto lib = library();
  std::vector<std::string> unnoticed = naive::mutants();
  for (int i = 0; i < cards_compared && !unnoticed.empty(); ++i) {
    Dice dice(seed_of_run() + 1, i);
    const auto [card, p] = random_case(dice);
    const Judgement j = judge(card, p, lib);
    std::erase_if(unnoticed, [&](const std::string& mutant) { return difference(j, naive::judge(card, p, lib, mutant)) != ""; });
  }
  for (const std::string& mutant : unnoticed) ADD_FAILURE() << mutant << " was not noticed";
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
  const auto lib = library();
  int allowed = 0;
  for (int i = 0; i < cards_tried; ++i) {
    Dice dice(seed_of_run() + 2, i);
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
  const auto lib = library();
  for (int i = 0; i < cards_tried; ++i) {
    Dice dice(seed_of_run() + 3, i);
    const auto [card, p] = random_case(dice);
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
  const auto lib = library();
  int passed = 0;
  for (int i = 0; i < cards_tried; ++i) {
    Dice dice(seed_of_run() + 4, i);
    auto [card, p] = random_case(dice);
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
