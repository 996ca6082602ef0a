// What only a person there can say, written down and judged: who sprays, flowers, the look before beginning, an agency's answer, and what
// becomes of what was picked before its day.
#include "app/cards.hpp"
#include "app/records.hpp"
#include "core/records/spray_record.hpp"
#include "tests/app/ledgering.hpp"

namespace leafturn::app {
namespace {

using garden::HarvestTaken;
using garden::SprayBegun;

constexpr const char* home_garden_card = R"([card]
product = "Home Oil"
setting = "residential"
restricted_use = false
copied_by = "lead"
copied_on = 2026-03-02

[[active]]
name = "azadirachtin"
content = "10 g/L"

[[use]]
crops = ["BRSOC"]
rate = { min = "1 floz/gal", max = "2 floz/gal" }
pre_harvest_days = 3
reentry_hours = 4
interval_days = 7
max_applications = "none-stated"
)";

constexpr const char* restricted_card = R"([card]
product = "Licence Four"
setting = "both"
restricted_use = true
copied_by = "lead"
copied_on = 2026-03-02

[[active]]
name = "azadirachtin"
content = "10 g/L"

[[use]]
crops = ["BRSOC"]
rate = { min = "1 floz/gal", max = "2 floz/gal" }
pre_harvest_days = 3
reentry_hours = 4
interval_days = 7
max_applications = "none-stated"
)";

class Told : public Ledgering {
 protected:
  void keep(const char* text, const char* product) {
    const auto kept = keep_card(*garden_, text, "test", "lead", day_ - Duration::hours(24 * 30), day_);
    ASSERT_TRUE(kept) << kept.error().code;
    for (const auto& c : state().cards)
      if (c.what.product == product) cards_[product] = c.what.text;
  }
  Id planned(const char* product) {
    const auto plan = say(spray("1", product, State::planned), day_ - Duration::hours(2));
    EXPECT_TRUE(plan) << plan.error().code;
    return plan->receipt.id;
  }
  /// Nothing speaks against it: 5 mph, 20 °C, nobody near, no flowers, dry.
  static garden::AtBed fine() {
    garden::AtBed look;
    look.wind = Speed::miles_per_hour(5);
    look.temperature = Temperature::celsius(20);
    look.humidity = 0.55;
    look.people_clear = true;
    look.in_flower = false;
    look.dry = true;
    look.dry_ahead = true;
    look.drought = false;
    return look;
  }
  std::string begun(const Id& plan, const garden::AtBed& look, const char* despite = "") {
    const auto before = garden_->ledger().last_seq().value();
    const auto outcome = say(SprayBegun{plan, "1", "Demo Spin Two", look, despite}, day_ - Duration::hours(1));
    EXPECT_EQ(garden_->ledger().last_seq().value(), before + (outcome ? 1 : 0));
    return outcome ? "" : outcome.error().code;
  }
};

TEST_F(Told, a_spray_is_not_begun_on_what_was_not_told_or_is_forbidden) {
  const Id plan = planned("Demo Spin Two");
  const auto with = [&](auto change) {
    garden::AtBed look = fine();
    change(look);
    return begun(plan, look);
  };
  EXPECT_EQ(begun(plan, {}), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.wind.reset(); }), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.temperature.reset(); }), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.people_clear.reset(); }), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.in_flower.reset(); }), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.dry.reset(); }), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.dry_ahead.reset(); }), "start.not_told");
  EXPECT_EQ(with([](auto& l) { l.people_clear = false; }), "start.forbidden");
  EXPECT_EQ(with([](auto& l) { l.wind = Speed::kilometres_per_hour(17); }), "start.forbidden") << "the card says 16 km/h";
  EXPECT_EQ(with([](auto& l) { l.in_flower = true; }), "treat.refused") << "the card says not on open flowers";
  EXPECT_EQ(with([](auto& l) { l.wind = Speed::metres_per_second(90); }), "garden.at_bed_impossible");
  EXPECT_EQ(begun(plan, fine()), "");
}

TEST_F(Told, advice_may_be_set_aside_for_a_reason_and_a_label_may_not) {
  const Id plan = planned("Demo Spin Two");
  garden::AtBed calm = fine();
  calm.wind = Speed::miles_per_hour(1);
  EXPECT_EQ(begun(plan, calm), "start.advised_against") << "calm air: advice, not the card";
  garden::AtBed windy = fine();
  windy.wind = Speed::kilometres_per_hour(17);
  EXPECT_EQ(begun(plan, windy, "it must be today"), "start.forbidden");
  EXPECT_EQ(begun(plan, calm, "a hedge on every side"), "");
  const auto* begun_now = state().begun_of(plan);
  ASSERT_NE(begun_now, nullptr);
}

TEST_F(Told, a_beginning_needs_its_own_open_plan_and_stays_as_written) {
  const Id plan = planned("Demo Spin Two");
  EXPECT_EQ(code(SprayBegun{Id::version7(7, {}), "1", "Demo Spin Two", fine(), ""}), "garden.no_such_plan");
  EXPECT_EQ(code(SprayBegun{plan, "2", "Demo Spin Two", fine(), ""}), "garden.plan_of_another");
  const auto outcome = say(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, day_ - Duration::hours(1));
  ASSERT_TRUE(outcome) << outcome.error().code;
  EXPECT_EQ(code(garden::Amended{outcome->receipt.id, "wind was more", SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, {}}),
            "start.stays");
  auto made = spray("1", "Demo Spin Two", State::made);
  made.plan = plan;
  EXPECT_EQ(code(made), "");
  EXPECT_EQ(code(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}), "garden.plan_finished");
}

TEST_F(Told, the_record_says_when_it_was_begun_and_what_was_measured) {
  const Id plan = planned("Demo Spin Two");
  ASSERT_EQ(begun(plan, fine()), "");
  auto made = spray("1", "Demo Spin Two", State::made);
  made.plan = plan;
  ASSERT_EQ(code(made), "");
  const auto now = state();
  const auto record = records::spray_record(now, now.applications.back(), nullptr, garden_->library(), garden_->zone().value());
  ASSERT_TRUE(record.started);
  EXPECT_EQ(*record.started, day_ - Duration::hours(1));
  ASSERT_TRUE(record.weather);
  EXPECT_EQ(record.weather->code, "record.weather_humid");
  EXPECT_TRUE(records::known(record, records::Field::started));
  EXPECT_TRUE(records::known(record, records::Field::weather));
}

TEST_F(Told, what_was_told_with_a_plan_is_judged_again_with_the_spray) {
  keep(restricted_card, "Licence Four");
  EXPECT_EQ(code(spray("1", "Licence Four", State::planned)), "") << "a licence is asked for, as a condition";
  auto plan = spray("1", "Licence Four", State::planned);
  plan.told.handler = garden::Handler{};
  EXPECT_EQ(code(plan), "treat.unknown") << "somebody is named, and nobody said whether they hold it";
  plan.told.handler->licensed = false;
  EXPECT_EQ(code(plan), "treat.refused");
  plan.told.handler->licensed = true;
  EXPECT_EQ(code(plan), "treat.unknown") << "neither adult nor trained is told";
  plan.told.handler->adult = true;
  plan.told.handler->trained = true;
  const auto planned = say(plan, day_ - Duration::hours(2));
  ASSERT_TRUE(planned) << planned.error().code;
  auto made = spray("1", "Licence Four", State::made);
  made.plan = planned->receipt.id;
  EXPECT_EQ(code(made), "") << "who sprays was told with the plan";
  const auto kept = state().applications.back().what;
  EXPECT_FALSE(kept.told.any()) << "and is not written twice";
}

TEST_F(Told, a_home_garden_product_waits_for_the_agencys_answer_where_produce_is_sold) {
  keep(home_garden_card, "Home Oil");
  auto plan = spray("1", "Home Oil", State::planned);
  plan.told.produce = garden::Produce::sold;
  EXPECT_EQ(code(plan), "treat.refused");
  EXPECT_EQ(code(garden::AgencyAnswered{"No Such", true, *Date::from_ymd(2026, 6, 1), "letter 14"}), "garden.no_such_product");
  EXPECT_EQ(code(garden::AgencyAnswered{"Home Oil", true, *Date::from_ymd(2026, 7, 1), "letter 14"}), "garden.in_the_future");
  EXPECT_EQ(code(garden::AgencyAnswered{"Home Oil", true, *Date::from_ymd(2026, 6, 1), ""}), "garden.text_empty");
  ASSERT_EQ(code(garden::AgencyAnswered{"Home Oil", false, *Date::from_ymd(2026, 6, 1), "letter 14"}), "");
  EXPECT_EQ(code(plan), "treat.refused");
  ASSERT_EQ(code(garden::AgencyAnswered{"Home Oil", true, *Date::from_ymd(2026, 6, 2), "letter 15"}), "");
  EXPECT_EQ(code(plan), "");
  // An answer that came later made no earlier spray lawful.
  auto made = spray("1", "Home Oil", State::made);
  made.told.produce = garden::Produce::sold;
  const auto earlier = say(made, day_ - Duration::hours(24 * 20));
  ASSERT_FALSE(earlier);
  EXPECT_EQ(earlier.error().code, "treat.refused");
}

TEST_F(Told, beds_and_the_garden_say_what_holds_for_every_question) {
  const auto verdict_of = [&](const char* rule) -> std::string {
    const auto answer = may_treat(*garden_, {"1", "Demo Spin Two", "1 floz/gal", day_, "", {}, {}, {}});
    if (!answer) return answer.error().code;
    for (const auto& outcome : answer->plantings.front().judgement.outcomes)
      if (label::word_for(outcome.rule) == rule) return outcome.reason.code;
    return "";
  };
  EXPECT_EQ(verdict_of("organic"), "");
  auto bed = *state().bed("1");
  bed.organic = true;
  ASSERT_EQ(code(bed), "");
  EXPECT_EQ(verdict_of("organic"), "judge.organic.not_copied");
}

TEST_F(Told, a_harvest_before_its_day_is_refused_and_what_was_picked_is_held) {
  ASSERT_EQ(code(spray("1", "Demo Spin Two", State::made)), "");  // two days on collards
  HarvestTaken picked{"1", "", Mass::grams(900), "", {}};
  EXPECT_EQ(code(picked), "harvest.not_yet");
  picked.early = HarvestTaken::Early::held;
  EXPECT_EQ(code(picked), "");
  picked.early = HarvestTaken::Early::destroyed;
  EXPECT_EQ(code(picked), "");
  const auto later = record_saying(*garden_, HarvestTaken{"1", "", Mass::grams(900), "", {}}, "test", "lead", day_ + Duration::hours(49),
                                   day_ + Duration::hours(49));
  EXPECT_TRUE(later) << later.error().code;
  // Amending is no way round it.
  const garden::Amended amended{later->receipt.id, "it was earlier", HarvestTaken{"1", "", Mass::grams(900), "", {}},
                                day_ + Duration::hours(1)};
  const auto moved = record_saying(*garden_, amended, "test", "lead", day_ + Duration::hours(49), day_ + Duration::hours(49));
  ASSERT_FALSE(moved);
  EXPECT_EQ(moved.error().code, "harvest.not_yet");
}

TEST_F(Told, a_harvest_from_a_bed_nobody_knows_of_is_refused_and_a_plan_alone_refuses_none) {
  auto outside = spray("1", "A bottle without a card", State::made);
  outside.outside_label = true;
  const HarvestTaken earlier{"1", "", {}, "", {}};
  ASSERT_EQ(code(spray("1", "Demo Spin Two", State::planned)), "");
  EXPECT_EQ(code(earlier), "") << "the board keeps pickers out; what was picked before the spray is sound";
  ASSERT_EQ(code(outside), "");
  EXPECT_EQ(code(earlier), "harvest.not_known");
  // Picked before the spray was made: sound, whenever it is written down.
  const auto before = say(HarvestTaken{"1", "", {}, "", {}}, day_ - Duration::hours(1));
  EXPECT_TRUE(before) << before.error().code;
}

}  // namespace
}  // namespace leafturn::app
