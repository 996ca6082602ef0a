#include "core/label/judge.hpp"

#include <algorithm>

#include "tests/label/cards.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::label {
namespace {

using namespace test_cards;

Judgement ask(const Card& card, const Proposal& p) { return judge(card, p, library()); }

struct Answer {
  State state;
  std::string code;
  bool operator==(const Answer&) const = default;
};
std::ostream& operator<<(std::ostream& out, const Answer& a) { return out << word_for(a.state) << " " << a.code; }

Answer answer(const Card& card, const Proposal& p, Rule rule) {
  const Judgement j = ask(card, p);
  const Outcome* o = outcome(j, rule);
  return o == nullptr ? Answer{State::pass, "nothing"} : Answer{o->state, o->reason.code};
}

TEST(Judge, AllowsWhatTheCardAllows) {
  const Judgement j = ask(full_card(), full_proposal());
  EXPECT_EQ(j.verdict, Verdict::allowed);
  EXPECT_EQ(j.outcomes.size(), 7U);
  EXPECT_EQ(j.use, std::size_t{0});
  EXPECT_EQ(outcome(j, Rule::rate)->card_field, "use[1].rate.max");
  EXPECT_EQ(outcome(j, Rule::rate)->card_line, 12);
}

TEST(Judge, EveryFieldNotCopiedIsUnknown) {
  const auto without = [](auto change) {
    Card c = full_card();
    change(c.uses[0], c);
    return ask(c, full_proposal()).verdict;
  };
  EXPECT_EQ(without([](Use& u, Card&) { u.rate_min = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use& u, Card&) { u.rate_max = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use& u, Card&) { u.pre_harvest_days = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use& u, Card&) { u.reentry = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use& u, Card&) { u.interval_days = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use& u, Card&) { u.max_applications = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use&, Card& c) { c.setting = {}; }), Verdict::unknown);
  EXPECT_EQ(without([](Use&, Card& c) { c.uses.clear(); }), Verdict::unknown);
}

TEST(Judge, WhatTiesTheCardToAContainerMakesItConditional) {
  const auto verdict = [](auto change) {
    Card c = full_card();
    change(c);
    return ask(c, full_proposal()).verdict;
  };
  EXPECT_EQ(verdict([](Card& c) { c.registration.clear(); }), Verdict::conditional);
  EXPECT_EQ(verdict([](Card& c) { c.actives.clear(); }), Verdict::conditional);
  EXPECT_EQ(verdict([](Card& c) { c.copied_by.clear(); }), Verdict::conditional);
  EXPECT_EQ(verdict([](Card& c) { c.copied_on.reset(); }), Verdict::conditional);
  EXPECT_EQ(verdict([](Card& c) { c.copied_on = Date::parse("2024-06-10"); }), Verdict::allowed);      // 365 days
  EXPECT_EQ(verdict([](Card& c) { c.copied_on = Date::parse("2024-06-09"); }), Verdict::conditional);  // 366
  EXPECT_EQ(verdict([](Card& c) { c.others = {{"conditions.max_temp_c", "29.0", 20}}; }), Verdict::conditional);
}

TEST(Judge, Crop) {
  Card c = full_card();
  Proposal p = full_proposal();
  p.crop = "BRSOK";
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::refused, "judge.crop.not_listed"}));
  c.uses[0].crops = {"group:5-16"};
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::conditional, "judge.crop.in_group_unsure"}));
  c.uses[0].except = {"BRSOK"};
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::refused, "judge.crop.excepted"}));
  c.uses[0] = full_use();
  c.uses[0].crops = {"group:4-16B"};
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::refused, "judge.crop.not_listed"}));
  p.crop = "BRSOA";
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::pass, "judge.crop.in_group"}));
  c.uses[0].crops = {"group:4-16"};  // a group holds its subgroups
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::pass, "judge.crop.in_group"}));
  p.crop = "BRSJU";
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::conditional, "judge.crop.in_group_unsure"}));
  p.crop = "SOLME";
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::unknown, "judge.crop.not_in_library"}));
  p.crop = "BRSOA";
  c.uses[0].crops = {"group:5"};  // the edition before 2016: not the same group as 5-16
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::unknown, "judge.crop.group_unknown"}));
  c.uses.push_back(full_use());
  EXPECT_EQ(answer(c, p, Rule::crop), (Answer{State::conditional, "judge.crop.listed_other_unclear"}));
}

TEST(Judge, RefusedCropLeavesNothingToPromise) {
  Proposal p = full_proposal();
  p.crop = "LYPES";
  const Judgement j = ask(full_card(), p);
  EXPECT_EQ(j.verdict, Verdict::refused);
  EXPECT_FALSE(j.earliest_harvest || j.reentry || j.use);
  EXPECT_EQ(j.outcomes.front().rule, Rule::crop);
}

TEST(Judge, Rate) {
  const Card c = full_card();
  Proposal p = full_proposal();
  const auto with = [&](const char* text) {
    p.rate = rate(text);
    return answer(c, p, Rule::rate);
  };
  EXPECT_EQ(with("2 floz/gal"), (Answer{State::pass, "judge.rate.within"}));
  EXPECT_EQ(with("4 tbsp/gal"), (Answer{State::pass, "judge.rate.within"}));  // the same amount in spoons
  EXPECT_EQ(with("2.01 floz/gal"), (Answer{State::refused, "judge.rate.above"}));
  EXPECT_EQ(with("1 floz/gal"), (Answer{State::pass, "judge.rate.within"}));
  EXPECT_EQ(with("0.99 floz/gal"), (Answer{State::conditional, "judge.rate.below"}));
  EXPECT_EQ(with("1.5 oz/gal"), (Answer{State::unknown, "judge.rate.weight_or_volume"}));
  EXPECT_EQ(with("2 qt/acre"), (Answer{State::unknown, "judge.rate.other_basis"}));
  p.rate.reset();
  EXPECT_EQ(answer(c, p, Rule::rate), (Answer{State::unknown, "judge.rate.not_given"}));
  Card open = full_card();
  open.uses[0].rate_max = Stated<ProductRate>::none_stated();
  p.rate = rate("5 floz/gal");
  EXPECT_EQ(answer(open, p, Rule::rate), (Answer{State::conditional, "judge.rate.no_highest"}));
}

TEST(Judge, PreHarvest) {
  const Card c = full_card();  // 3 days
  Proposal p = full_proposal();
  const auto timed = [&](const char* harvest) {
    p.on = at("2025-06-10T16:30");
    p.harvests = {at(harvest)};
    return answer(c, p, Rule::pre_harvest);
  };
  EXPECT_EQ(timed("2025-06-13T16:29"), (Answer{State::refused, "judge.pre_harvest.too_soon"}));
  EXPECT_EQ(timed("2025-06-13T16:30"), (Answer{State::pass, "judge.pre_harvest.clear"}));
  EXPECT_EQ(timed("2025-06-13"), (Answer{State::conditional, "judge.pre_harvest.not_before"}));
  EXPECT_EQ(timed("2025-06-12"), (Answer{State::refused, "judge.pre_harvest.too_soon"}));
  EXPECT_EQ(timed("2025-06-14"), (Answer{State::pass, "judge.pre_harvest.clear"}));
  EXPECT_EQ(timed("2025-06-09"), (Answer{State::pass, "judge.pre_harvest.clear"}));  // picked before the spray

  const auto by_day = [&](const char* harvest) {
    p.on = at("2025-06-10");
    p.harvests = {at(harvest)};
    return answer(c, p, Rule::pre_harvest);
  };
  EXPECT_EQ(by_day("2025-06-12"), (Answer{State::refused, "judge.pre_harvest.too_soon"}));
  EXPECT_EQ(by_day("2025-06-13"), (Answer{State::pass, "judge.pre_harvest.clear"}));
  EXPECT_EQ(by_day("2025-06-13T06:00"), (Answer{State::pass, "judge.pre_harvest.clear"}));
  p.harvests = {at("2025-06-20"), at("2025-06-11")};
  EXPECT_EQ(answer(c, p, Rule::pre_harvest).state, State::refused);
}

TEST(Judge, EarliestHarvestIsTheLaterOfPreHarvestAndReentry) {
  Card c = full_card();
  Proposal p = full_proposal();
  EXPECT_EQ(ask(c, p).earliest_harvest->iso(), "2025-06-13T16:30:00");
  p.on = at("2025-06-10");
  EXPECT_EQ(ask(c, p).earliest_harvest->iso(), "2025-06-13T00:00:00");
  c.uses[0].pre_harvest_days = Stated<double>::given(0);
  EXPECT_EQ(ask(c, p).earliest_harvest->iso(), "2025-06-11T12:00:00");  // at the latest: sprayed until midnight, 12 h
  p.on = at("2025-06-10T16:30");
  EXPECT_EQ(ask(c, p).earliest_harvest->iso(), "2025-06-11T04:30:00");
  EXPECT_EQ(ask(c, p).reentry->iso(), "2025-06-11T04:30:00");
  c.uses[0].reentry = {};
  EXPECT_FALSE(ask(c, p).earliest_harvest || ask(c, p).reentry);
  c.uses[0] = full_use();
  c.uses[0].pre_harvest_days = {};
  EXPECT_FALSE(ask(c, p).earliest_harvest);
}

TEST(Judge, DayOfApplicationIsAllowedAtZeroDaysButReentryHolds) {
  Card c = full_card();
  c.uses[0].pre_harvest_days = Stated<double>::given(0);
  c.uses[0].reentry = Stated<Reentry>::given({4, false});
  Proposal p = full_proposal();
  p.on = at("2025-06-10T08:00");
  p.harvests = {at("2025-06-10")};
  EXPECT_EQ(answer(c, p, Rule::pre_harvest).state, State::pass);
  EXPECT_EQ(answer(c, p, Rule::reentry), (Answer{State::conditional, "judge.reentry.harvest_not_before"}));
  p.harvests = {at("2025-06-10T11:59")};
  EXPECT_EQ(answer(c, p, Rule::reentry), (Answer{State::refused, "judge.reentry.harvest_inside"}));
  p.harvests = {at("2025-06-10T12:00")};
  EXPECT_EQ(answer(c, p, Rule::reentry), (Answer{State::pass, "judge.reentry.until"}));
}

TEST(Judge, UntilDryNamesNoHour) {
  Card c = full_card();
  c.uses[0].reentry = Stated<Reentry>::given({0, true});
  const Judgement j = ask(c, full_proposal());
  EXPECT_EQ(j.verdict, Verdict::conditional);
  EXPECT_FALSE(j.reentry);
  EXPECT_TRUE(j.reentry_until_dry);
  EXPECT_EQ(j.earliest_harvest->iso(), "2025-06-13T16:30:00");
  c.uses[0].pre_harvest_days = Stated<double>::given(0);
  EXPECT_FALSE(ask(c, full_proposal()).earliest_harvest);
}

TEST(Judge, NoneStated) {
  Card c = full_card();
  Use& u = c.uses[0];
  const Proposal p = full_proposal();
  u.interval_days = Stated<double>::none_stated();
  u.max_applications = Stated<int>::none_stated();
  u.rate_min = Stated<ProductRate>::none_stated();
  EXPECT_EQ(ask(c, p).verdict, Verdict::allowed);
  Proposal no_history = p;
  no_history.history.reset();
  EXPECT_EQ(ask(c, no_history).verdict, Verdict::allowed);
  u.pre_harvest_days = Stated<double>::none_stated();
  EXPECT_EQ(answer(c, p, Rule::pre_harvest), (Answer{State::conditional, "judge.pre_harvest.none_stated"}));
  u.reentry = Stated<Reentry>::none_stated();
  EXPECT_EQ(answer(c, p, Rule::reentry), (Answer{State::conditional, "judge.reentry.none_stated"}));
}

TEST(Judge, Interval) {
  const Card c = full_card();  // 7 days
  Proposal p = full_proposal();
  const auto with = [&](std::vector<Past> history) {
    p.history = std::move(history);
    return answer(c, p, Rule::interval);
  };
  EXPECT_EQ(with({{*Date::parse("2025-06-04"), "Demo Oil One"}}), (Answer{State::refused, "judge.interval.too_soon"}));
  EXPECT_EQ(with({{*Date::parse("2025-06-03"), "Demo Oil One"}}), (Answer{State::pass, "judge.interval.kept"}));
  EXPECT_EQ(with({{*Date::parse("2025-06-09"), "Another"}}), (Answer{State::pass, "judge.interval.kept"}));
  EXPECT_EQ(with({{*Date::parse("2025-06-09"), " demo oil ONE "}}).state, State::refused);
  EXPECT_EQ(with({{*Date::parse("2025-06-16"), "Demo Oil One"}}).state, State::refused);  // already entered for later
  EXPECT_EQ(with({{*Date::parse("2025-06-10"), "Demo Oil One"}}).state, State::refused);
  p.history.reset();
  EXPECT_EQ(answer(c, p, Rule::interval), (Answer{State::unknown, "judge.interval.no_history"}));
}

TEST(Judge, MaxApplications) {
  const Card c = full_card();  // 3
  Proposal p = full_proposal();
  const auto with = [&](std::initializer_list<const char*> days) {
    p.history.emplace();
    for (const char* d : days) p.history->push_back({*Date::parse(d), "Demo Oil One"});
    return answer(c, p, Rule::max_applications);
  };
  EXPECT_EQ(with({"2025-04-01", "2025-05-01"}), (Answer{State::pass, "judge.max_applications.within"}));
  EXPECT_EQ(with({"2025-04-01", "2025-05-01", "2025-09-01"}), (Answer{State::refused, "judge.max_applications.reached"}));
  EXPECT_EQ(with({"2024-11-01", "2025-04-01", "2025-05-01"}), (Answer{State::conditional, "judge.max_applications.over_year_end"}));
  p.history.reset();
  EXPECT_EQ(answer(c, p, Rule::max_applications), (Answer{State::unknown, "judge.max_applications.no_history"}));
}

TEST(Judge, Setting) {
  Card c = full_card();
  Proposal p = full_proposal();
  p.setting.reset();
  EXPECT_EQ(answer(c, p, Rule::setting), (Answer{State::pass, "judge.setting.both"}));
  c.setting = Stated<CardSetting>::given(CardSetting::residential);
  EXPECT_EQ(answer(c, p, Rule::setting), (Answer{State::unknown, "judge.setting.not_given"}));
  p.setting = garden::Setting::agricultural;
  EXPECT_EQ(answer(c, p, Rule::setting), (Answer{State::refused, "judge.setting.residential_only"}));
  c.setting = Stated<CardSetting>::given(CardSetting::agricultural);
  EXPECT_EQ(answer(c, p, Rule::setting), (Answer{State::pass, "judge.setting.same"}));
  p.setting = garden::Setting::residential;
  EXPECT_EQ(answer(c, p, Rule::setting), (Answer{State::refused, "judge.setting.agricultural_only"}));
}

TEST(Judge, SeveralUsesTheStrictestOfEachField) {
  Card c = full_card();
  c.uses.push_back(full_use());
  c.uses[1].line = 30;
  c.uses[1].pre_harvest_days = Stated<double>::given(14);
  c.uses[0].reentry = Stated<Reentry>::given({24, false});
  Proposal p = full_proposal();
  p.harvests = {at("2025-06-17")};
  const Judgement j = ask(c, p);
  EXPECT_EQ(j.verdict, Verdict::refused);
  EXPECT_EQ(outcome(j, Rule::pre_harvest)->card_field, "use[2].pre_harvest_days");
  EXPECT_EQ(outcome(j, Rule::pre_harvest)->card_line, 30);
  EXPECT_EQ(j.earliest_harvest->iso(), "2025-06-24T16:30:00");
  EXPECT_EQ(j.reentry->iso(), "2025-06-11T16:30:00");
  c.uses[1].pre_harvest_days = {};
  EXPECT_EQ(ask(c, p).verdict, Verdict::unknown);
}

TEST(Judge, RefusedOutranksUnknown) {
  Card c = full_card();
  c.uses[0].reentry = {};
  Proposal p = full_proposal();
  p.rate = rate("3 floz/gal");
  const Judgement j = ask(c, p);
  EXPECT_EQ(j.verdict, Verdict::refused);
  EXPECT_EQ(j.outcomes[0].state, State::refused);
  EXPECT_EQ(j.outcomes[1].state, State::unknown);
}

// Pre-harvest days of six actives on garden crops, as the home-garden comparison printed them: looked up through cards, per crop.
Card newsletter_card(const char* active, std::initializer_list<std::pair<const char*, double>> days) {
  Card c = full_card();
  c.product = std::string("Card of ") + active;
  c.actives = {{active, "", ""}};
  c.uses.clear();
  for (const auto& [crop, d] : days) {
    Use u = full_use();
    u.crops = {crop};
    u.pre_harvest_days = Stated<double>::given(d);
    c.uses.push_back(u);
  }
  return c;
}

double days_until_harvest(const Card& card, const char* crop) {
  Proposal p = full_proposal();
  p.crop = crop;
  p.on = at("2025-06-10");
  // Asked day by day: the first planned harvest the rule lets pass.
  for (int d = 0; d <= 60; ++d) {
    p.harvests = {{{p.on.time.date + Days{d}, 0}, true}};
    if (outcome(judge(card, p, library()), Rule::pre_harvest)->state == State::pass) return d;
  }
  return -1;
}

constexpr const char* newsletter = "Mississippi State University Extension, Bug's Eye View, 2019 and 2024 issues (home-garden labels)";
constexpr const char *tomato = "LYPES", *pepper = "CPSAN", *squash = "CUUPE", *okra = "ABMES", *turnip = "BRSRR";

std::vector<Card> newsletter_cards() {
  return {newsletter_card("pyrethrins", {{tomato, 0}, {pepper, 0}, {squash, 0}, {okra, 0}, {turnip, 0}}),
          newsletter_card("spinosad", {{tomato, 1}, {pepper, 1}, {squash, 3}, {okra, 1}, {turnip, 3}}),
          newsletter_card("malathion", {{tomato, 1}, {pepper, 3}, {squash, 1}, {okra, 1}, {turnip, 7}}),
          newsletter_card("bifenthrin", {{tomato, 1}, {pepper, 7}, {squash, 3}, {okra, 7}, {turnip, 21}}),
          newsletter_card("permethrin", {{tomato, 1}, {pepper, 3}, {squash, 1}, {turnip, 1}}),
          newsletter_card("zeta-cypermethrin", {{tomato, 1}, {pepper, 1}, {squash, 1}, {okra, 1}, {turnip, 1}})};
}

TEST(Judge, PreHarvestPerCropAsPrinted) {
  const auto cards = newsletter_cards();
  const auto rows = [&](const char* name, const char* crop, std::vector<double> expected) {
    for (std::size_t i = 0; i < cards.size(); ++i) {
      const std::string& active = cards[i].actives[0].name;
      test::check_row({"phi." + std::string(name) + "." + active, "first day of harvest after " + active + " on " + name, newsletter,
                       "seen", test::From::published, expected[i], 0, "d"},
                      days_until_harvest(cards[i], crop));
    }
  };
  rows("squash", squash, {0, 3, 1, 3, 1, 1});
  rows("turnip", turnip, {0, 3, 7, 21, 1, 1});
}

TEST(Judge, OkraIsNotOnThePermethrinCard) {
  const auto cards = newsletter_cards();
  Proposal p = full_proposal();
  p.crop = okra;
  const Judgement j = judge(cards[4], p, library());
  EXPECT_EQ(j.verdict, Verdict::refused);
  EXPECT_EQ(outcome(j, Rule::crop)->state, State::refused);
  test::check_row({"phi.okra.permethrin", "permethrin on okra: not labelled, so refused (1), never 0 days", newsletter, "seen",
                   test::From::published, 1, 0, ""},
                  j.verdict == Verdict::refused && !j.earliest_harvest ? 1 : 0);
}

TEST(Judge, MixedPickingWaitsForTheLongest) {
  const Card bifenthrin = newsletter_cards()[3];
  Date last = *Date::parse("2025-06-10");
  const Date on = last;
  Proposal p = full_proposal();
  p.on = at("2025-06-10");
  for (const char* crop : {tomato, pepper, squash}) {
    p.crop = crop;
    last = std::max(last, judge(bifenthrin, p, library()).earliest_harvest->date);
  }
  test::check_row({"phi.mixed.bifenthrin", "tomato, pepper and squash picked together after bifenthrin: max(1, 7, 3)", newsletter, "seen",
                   test::From::published, 7, 0, "d"},
                  (last - on).count);
}

TEST(Judge, ReentryAndStrictPreHarvestTimes) {
  const Judgement j = ask(full_card(), full_proposal());
  const auto hours_after = [](const CivilTime& t) { return (t.date - *Date::parse("2025-06-10")).count * 24.0 + t.hour() - 16.5; };
  test::check_row({"rei.12h", "application ends 2025-06-10 16:30, re-entry 12 h: 2025-06-11 04:30, as hours",
                   "40 CFR 170.3 (interval runs from the end of application)", "memory", test::From::memory, 12, 0, "h"},
                  hours_after(*j.reentry));
  test::check_row({"phi.3d.strict", "application ends 2025-06-10 16:30, 3 days counted as 3 × 24 h: 2025-06-13 16:30, as hours",
                   "common practice, no source", "practice", test::From::practice, 72, 0, "h"},
                  hours_after(*j.earliest_harvest));
}

TEST(Judge, HoursOfOneUseAreNotLostBesideUntilDryOfAnother) {
  auto [c, p] = std::pair{full_card(), full_proposal()};
  c.uses.push_back(c.uses[0]);
  c.uses[0].reentry = Stated<Reentry>::given({48, false});
  c.uses[1].reentry = Stated<Reentry>::given({0, true});
  const Judgement j = ask(c, p);
  ASSERT_TRUE(j.reentry);
  EXPECT_EQ(j.reentry->iso(), CivilTime(Date::from_serial(p.on.time.date.serial() + 2), p.on.time.second_of_day).iso());
  EXPECT_TRUE(j.reentry_until_dry);
}

TEST(Judge, HoursAreHoursWhenClocksGoForward) {
  auto [c, p] = std::pair{full_card(), full_proposal()};
  const Zone zone("test",
                  {{Instant::parse("2025-01-01T00:00Z").value(), -6 * 3600}, {Instant::parse("2025-03-09T08:00Z").value(), -5 * 3600}});
  c.uses[0].reentry = Stated<Reentry>::given({12, false});
  c.copied_on = Date::parse("2025-03-01");
  p.harvests.clear();
  p.on = {CivilTime::parse("2025-03-08T20:00").value(), false};
  p.zone = &zone;
  EXPECT_EQ(ask(c, p).reentry->iso(), "2025-03-09T09:00:00");
}

}  // namespace
}  // namespace leafturn::label
