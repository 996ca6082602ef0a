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

/// A card that allows one crop, with what a test adds to it.
std::string card_of(const std::string& product, const std::string& about, const std::string& crop, int days, const std::string& more = {}) {
  return "[card]\nproduct = \"" + product + "\"\n" + about + R"(
copied_by = "lead"
copied_on = 2026-03-02

[[active]]
name = "azadirachtin"
content = "10 g/L"

[[use]]
crops = [")" +
         crop + R"("]
rate = { min = "1 floz/gal", max = "2 floz/gal" }
pre_harvest_days = )" +
         std::to_string(days) + R"(
reentry_hours = 4
interval_days = 7
max_applications = "none-stated"
)" + more;
}

class Told : public Ledgering {
 protected:
  void keep(const std::string& text, const char* product) {
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
  const auto now = state();
  ASSERT_NE(now.begun_of(plan, day_), nullptr);
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

TEST_F(Told, what_was_begun_is_made_or_its_beginning_withdrawn) {
  const Id plan = planned("Demo Spin Two");
  const auto began = say(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, day_ - Duration::hours(1));
  ASSERT_TRUE(began) << began.error().code;
  auto off = spray("1", "Demo Spin Two", State::cancelled);
  off.plan = plan;
  EXPECT_EQ(code(off), "treat.begun_stays");
  EXPECT_EQ(code(garden::Amended{plan, "never mind", std::nullopt, {}}), "treat.begun_stays");
  EXPECT_EQ(code(garden::Amended{plan, "another one", spray("1", "Demo Oil One", State::planned), {}}), "treat.begun_stays");
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "harvest.not_known") << "something may have left the nozzle";
  EXPECT_EQ(code(garden::Amended{began->receipt.id, "nothing left the nozzle", std::nullopt, {}}), "");
  EXPECT_EQ(code(off), "");
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "");
}

TEST_F(Told, a_look_weeks_ago_or_before_the_plan_is_at_another_spray) {
  const auto plan = say(spray("1", "Demo Spin Two", State::planned), day_ - Duration::hours(24 * 20));
  ASSERT_TRUE(plan) << plan.error().code;
  const auto before = say(SprayBegun{plan->receipt.id, "1", "Demo Spin Two", fine(), ""}, day_ - Duration::hours(24 * 22));
  ASSERT_FALSE(before);
  EXPECT_EQ(before.error().code, "garden.begun_before_plan");
  const auto began = say(SprayBegun{plan->receipt.id, "1", "Demo Spin Two", fine(), ""}, day_ - Duration::hours(24 * 10));
  ASSERT_TRUE(began) << began.error().code;
  auto made = spray("1", "Demo Spin Two", State::made);
  made.plan = plan->receipt.id;
  ASSERT_EQ(code(made), "");
  const auto now = state();
  const auto record = records::spray_record(now, now.applications.back(), nullptr, garden_->library(), garden_->zone().value());
  EXPECT_FALSE(record.started);
  EXPECT_FALSE(record.weather);
  EXPECT_EQ(code(garden::Amended{began->receipt.id, "tidier so", std::nullopt, {}}), "start.stays");
}

TEST_F(Told, nicer_words_after_the_look_change_nothing) {
  // Bed 9 has squash; a card that keeps off foraging bees only.
  keep(card_of("Bee Five", "setting = \"both\"", "CUUPE", 0, "\n[conditions]\nbees = \"not-while-foraging\"\n"), "Bee Five");
  const Instant dawn = Instant::parse("2026-06-20T12:30Z").value();  // 07:30 there
  const auto at_dawn = [&](const garden::Payload& payload, Duration later) {
    return record_saying(*garden_, payload, "test", "lead", dawn + later, dawn + Duration::hours(24));
  };
  auto plan = spray("9", "Bee Five", State::planned);
  const auto planned = at_dawn(plan, Duration::hours(-1));
  ASSERT_TRUE(planned) << planned.error().code;
  garden::AtBed look = fine();
  look.temperature = Temperature::celsius(12);
  look.in_flower = true;
  const auto began = at_dawn(SprayBegun{planned->receipt.id, "9", "Bee Five", look, "in a hurry"}, {});
  ASSERT_FALSE(began) << "squash flowers are open at dawn, and their bees are out: the label, not advice";
  EXPECT_EQ(began.error().code, "treat.refused");
  look.in_flower = false;
  ASSERT_TRUE(at_dawn(SprayBegun{planned->receipt.id, "9", "Bee Five", look, ""}, {}));
  auto made = spray("9", "Bee Five", State::made);
  made.plan = planned->receipt.id;
  made.told.flowers = garden::Flowers::open_cucurbit;
  const auto seen_after = at_dawn(made, Duration::minutes(20));
  ASSERT_FALSE(seen_after) << "of two looks the worse holds";
  EXPECT_EQ(seen_after.error().code, "treat.refused");
}

TEST_F(Told, putting_right_frees_no_bed_whose_wait_runs) {
  // Bed 11 was sprayed on the evening of the 10th; arugula waits three days.
  const auto now = Instant::parse("2026-06-11T17:00Z").value();
  const auto amend = [&](const Id& target, std::optional<garden::Saying> replacement, std::optional<Instant> time = {}) {
    const auto outcome =
        record_saying(*garden_, garden::Amended{target, "typed wrongly", std::move(replacement), time}, "test", "lead", now, now);
    return outcome ? std::string{} : outcome.error().code;
  };
  const auto state_now = state();
  const garden::Planting* arugula = nullptr;
  for (const auto& p : state_now.plantings)
    if (p.sown.bed == "11") arugula = &p;
  ASSERT_NE(arugula, nullptr);
  auto elsewhere = arugula->sown;
  elsewhere.bed = "12";
  EXPECT_EQ(amend(arugula->id, elsewhere), "treat.frees_bed");
  EXPECT_EQ(amend(arugula->id, std::nullopt), "treat.frees_bed");
  auto kinder = arugula->sown;
  kinder.crop = "BRSOK";
  EXPECT_EQ(amend(arugula->id, kinder), "treat.frees_bed");
  auto more = arugula->sown;
  more.plants = more.plants.value_or(10) + 5;
  EXPECT_EQ(amend(arugula->id, more), "") << "what frees nothing is put right as before";
  const auto& sprayed = state_now.applications.back();
  ASSERT_EQ(sprayed.what.bed, "11");
  auto other = sprayed.what;
  other.bed = "1";
  EXPECT_EQ(amend(sprayed.id, other), "treat.frees_bed");
  EXPECT_EQ(amend(sprayed.id, sprayed.what, sprayed.at - Duration::hours(24 * 5)), "treat.frees_bed");
  const auto removed =
      record_saying(*garden_, garden::PlantingRemoved{arugula->sown.planting}, "test", "lead", sprayed.at - Duration::hours(10), now);
  ASSERT_FALSE(removed);
  EXPECT_EQ(removed.error().code, "treat.frees_bed");
  EXPECT_TRUE(record_saying(*garden_, garden::PlantingRemoved{arugula->sown.planting}, "test", "lead", now, now))
      << "pulled after the spray";
}

TEST_F(Told, two_amendments_in_a_row_free_nothing_either) {
  const auto now = day_;
  const auto said = [&](const garden::Payload& payload, Instant at) { return record_saying(*garden_, payload, "test", "lead", at, now); };
  const auto made = said(spray("4", "Demo Spin Two", State::made), now - Duration::hours(24 * 6));
  ASSERT_TRUE(made) << made.error().code;
  auto again = spray("4", "Demo Spin Two", State::made);
  ASSERT_TRUE(said(garden::Amended{made->receipt.id, "it was today", again, now - Duration::hours(13)}, now));
  EXPECT_EQ(code(HarvestTaken{"4", "", {}, "", {}}), "harvest.not_yet");
  again.detail = "edges chewed";
  EXPECT_EQ(code(garden::Amended{made->receipt.id, "a word more", again, {}}), "treat.frees_bed")
      << "without a time it would fall back to the first";
  EXPECT_EQ(code(garden::Amended{made->receipt.id, "a word more", again, now - Duration::hours(13)}), "");
}

TEST_F(Told, a_card_copied_afterwards_shortens_no_wait) {
  const auto made = say(spray("1", "Demo Spin Two", State::made), day_ - Duration::hours(5));
  ASSERT_TRUE(made) << made.error().code;
  std::string kinder = garden_->ledger().blob_get(cards_.at("Demo Spin Two")).value();
  for (auto at = kinder.find("pre_harvest_days = "); at != std::string::npos; at = kinder.find("pre_harvest_days = ", at + 1))
    kinder[at + 19] = '0';
  ASSERT_TRUE(keep_card(*garden_, kinder, "test", "lead", day_ - Duration::hours(1), day_));
  auto again = spray("1", "Demo Spin Two", State::made);
  again.card = state().cards.back().what.text;
  ASSERT_NE(again.card, cards_.at("Demo Spin Two"));
  EXPECT_EQ(code(garden::Amended{made->receipt.id, "the new card", again, {}}), "treat.card_changed");
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "harvest.not_yet");
}

TEST_F(Told, a_planting_mistyped_after_the_spray_is_put_right) {
  const auto sprayed = say(spray("1", "Demo Spin Two", State::made), day_ - Duration::hours(24 * 5));
  ASSERT_TRUE(sprayed) << sprayed.error().code;
  const auto wrong = say(garden::PlantingSown{"carrots", "1", "DAUCA", {}, Date::from_ymd(2026, 4, 1), {}, {}});
  ASSERT_TRUE(wrong) << wrong.error().code;
  EXPECT_EQ(code(garden::Amended{wrong->receipt.id, "wrong bed", std::nullopt, {}}), "");
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "");
  // And what was first told may be told again.
  const auto now = state();
  const garden::Planting* kale = nullptr;
  for (const auto& p : now.plantings)
    if (p.sown.bed == "1") kale = &p;
  ASSERT_NE(kale, nullptr);
  auto other = kale->sown;
  other.crop = "DAUCA";
  ASSERT_EQ(code(garden::Amended{kale->id, "carrots", other, {}}), "");
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "harvest.not_known");
  EXPECT_EQ(code(garden::Amended{kale->id, "kale after all", kale->sown, {}}), "");
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "");
}

TEST_F(Told, what_is_taken_out_was_picked_that_day) {
  const auto now = state();
  const garden::Planting* kale = nullptr;
  for (const auto& p : now.plantings)
    if (p.sown.bed == "1") kale = &p;
  ASSERT_NE(kale, nullptr);
  auto outside = spray("1", "A bottle without a card", State::made);
  outside.outside_label = true;
  ASSERT_TRUE(say(outside, day_ - Duration::hours(24)));
  ASSERT_EQ(code(garden::BedReleased{garden::BedReleased::Basis::destroyed, "1", "dug in"}), "");
  auto other = spray("1", "Demo Spin Two", State::made);
  ASSERT_TRUE(say(other, day_ - Duration::hours(3)));
  ASSERT_TRUE(say(garden::PlantingRemoved{kale->sown.planting}, day_ - Duration::hours(1)));
  EXPECT_EQ(code(HarvestTaken{"1", "", {}, "", {}}), "harvest.not_yet");
}

TEST_F(Told, a_second_beginning_hides_no_first) {
  const Id plan = planned("Demo Spin Two");
  const auto first = say(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, day_ - Duration::minutes(90));
  ASSERT_TRUE(first) << first.error().code;
  ASSERT_TRUE(say(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, day_));
  const auto between = say(HarvestTaken{"1", "", {}, "", {}}, day_ - Duration::minutes(60));
  ASSERT_FALSE(between);
  EXPECT_EQ(between.error().code, "harvest.not_known");
}

TEST_F(Told, what_was_sprayed_is_written_whatever_became_of_its_plan) {
  const Id plan = planned("Demo Spin Two");
  auto off = spray("1", "Demo Spin Two", State::cancelled);
  off.plan = plan;
  ASSERT_EQ(code(off), "");
  auto made = spray("1", "Demo Spin Two", State::made);
  made.plan = plan;
  EXPECT_EQ(code(made), "garden.plan_finished");
  made.not_judged = true;
  const auto kept = say(made);
  ASSERT_TRUE(kept) << "a plan called off undoes no spray: " << kept.error().code;
  EXPECT_NE(code(HarvestTaken{"1", "", {}, "", {}}), "");
}

TEST_F(Told, a_look_may_arrive_after_its_spray) {
  const Id plan = planned("Demo Spin Two");
  auto made = spray("1", "Demo Spin Two", State::made);
  made.plan = plan;
  ASSERT_EQ(code(made), "");
  const auto late = say(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, day_ - Duration::minutes(40));
  ASSERT_TRUE(late) << late.error().code;
  const auto now = state();
  const auto record = records::spray_record(now, now.applications.back(), nullptr, garden_->library(), garden_->zone().value());
  EXPECT_EQ(record.started, day_ - Duration::minutes(40));
  EXPECT_EQ(code(SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}), "") << "at the very end at the latest";
  const auto after = record_saying(*garden_, SprayBegun{plan, "1", "Demo Spin Two", fine(), ""}, "test", "lead", day_ + Duration::hours(1),
                                   day_ + Duration::hours(1));
  ASSERT_FALSE(after);
  EXPECT_EQ(after.error().code, "garden.plan_finished");
}

TEST_F(Told, a_release_frees_what_comes_after_it) {
  auto outside = spray("2", "A bottle without a card", State::made);
  outside.outside_label = true;
  ASSERT_TRUE(say(outside, day_ - Duration::hours(24)));
  ASSERT_EQ(code(garden::BedReleased{garden::BedReleased::Basis::authority, "2", "letter"}), "");
  const auto before = say(HarvestTaken{"2", "", {}, "", {}}, day_ - Duration::hours(12));
  ASSERT_FALSE(before);
  EXPECT_EQ(before.error().code, "harvest.not_known");
  const auto after =
      record_saying(*garden_, HarvestTaken{"2", "", {}, "", {}}, "test", "lead", day_ + Duration::hours(1), day_ + Duration::hours(1));
  EXPECT_TRUE(after) << after.error().code;
}

TEST_F(Told, a_question_talks_away_nothing_the_bed_says) {
  auto bed = *state().bed("1");
  bed.organic = true;
  ASSERT_EQ(code(bed), "");
  TreatQuestion question{"1", "Demo Spin Two", "1 floz/gal", day_, "", {}, {}, {}};
  question.told.organic = false;
  const auto answer = may_treat(*garden_, question);
  ASSERT_TRUE(answer) << answer.error().code;
  const auto& outcomes = answer->plantings.front().judgement.outcomes;
  EXPECT_TRUE(std::any_of(outcomes.begin(), outcomes.end(), [](const auto& o) { return o.reason.code == "judge.organic.not_copied"; }));
}

TEST_F(Told, what_was_told_with_a_plan_is_judged_again_with_the_spray) {
  keep(card_of("Licence Four", "setting = \"both\"\nrestricted_use = true", "BRSOC", 3), "Licence Four");
  EXPECT_EQ(code(spray("1", "Licence Four", State::planned)), "") << "a licence is asked for, as a condition";
  auto plan = spray("1", "Licence Four", State::planned);
  plan.told.handler = garden::Handler{};
  EXPECT_EQ(code(plan), "treat.unknown") << "somebody is named, and nobody said whether they hold it";
  plan.told.handler->licensed = false;
  EXPECT_EQ(code(plan), "treat.refused");
  plan.told.handler->licensed = true;
  plan.told.handler->adult = true;
  EXPECT_EQ(code(plan), "treat.unknown") << "nobody said whether they were trained";
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
  keep(card_of("Home Oil", "setting = \"residential\"\nrestricted_use = false", "BRSOC", 3), "Home Oil");
  auto plan = spray("1", "Home Oil", State::planned);
  plan.told.produce = garden::Produce::sold;
  EXPECT_EQ(code(plan), "treat.refused");
  EXPECT_EQ(code(garden::AgencyAnswered{"No Such", true, *Date::from_ymd(2026, 6, 1), "letter 14"}), "garden.no_such_product");
  EXPECT_EQ(code(garden::AgencyAnswered{"Home Oil", true, *Date::from_ymd(2026, 7, 1), "letter 14"}), "garden.in_the_future");
  EXPECT_EQ(code(garden::AgencyAnswered{"Home Oil", true, *Date::from_ymd(2026, 6, 1), ""}), "garden.text_empty");
  ASSERT_EQ(code(garden::AgencyAnswered{"Home Oil", false, *Date::from_ymd(2026, 6, 1), "letter 14"}), "");
  EXPECT_EQ(code(plan), "treat.refused");
  ASSERT_EQ(code(garden::AgencyAnswered{"Home Oil", true, *Date::from_ymd(2024, 1, 1), "an old letter"}), "");
  EXPECT_EQ(code(plan), "treat.refused") << "an older answer, found later, changes nothing";
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
