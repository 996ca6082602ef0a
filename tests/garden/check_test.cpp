// What makes sense in a garden, and what is refused with which code at which field.

#include <gtest/gtest.h>

#include "tests/garden/arbitrary.hpp"

namespace leafturn::garden::test {
namespace {

class Check : public testing::Test {
 protected:
  // Near Milwaukee, so that the day by the sun is about the day on the wall.
  Check() {
    tell(day(0),
         GardenDescribed{"Invented garden", Angle::degrees(43), Angle::degrees(-88), {}, "America/Chicago", Units::us, "", {}, {}, {}});
    for (const char* bed : {"1", "2", "3"}) tell(day(0), BedLaid{bed, {}, {}, Length::metres(1.2), Length::metres(6)});
    tell(day(1), PlantingSown{"kale-1", "1", "BRSOA", 20, date(1), {}, {}});
    okra_ = tell(day(1), PlantingSown{"okra-1", "2", "ABMES", std::nullopt, date(20), {}, {}});
    count_ = tell(day(5), CountTaken{"1", "PIERRA", "egg", 10, 2});
  }
  static Instant day(int n, int hour = 18) { return *Instant::parse("2026-05-01T00:00:00Z") + Duration::hours(24 * n + hour); }
  static Date date(int n) { return *Date::parse("2026-05-01") + Days{n}; }
  Id tell(Instant at, Payload payload) {
    const std::size_t n = history_.size() + 1;
    history_.push_back({n, at, {{numbered_id(n), "shed", n, at, "lead"}, std::move(payload)}});
    return numbered_id(n);
  }
  Status ask(Payload payload, Instant at = day(10), Instant now = day(10)) const {
    std::optional<KnownEvent> target;
    if (const auto* amended = std::get_if<Amended>(&payload))
      for (const Recorded& r : history_)
        if (r.event.heading.id == amended->target) target = {r.event.payload.index(), r.event.heading.happened_at};
    return check(fold(history_, now), {{numbered_id(999), "shed", 99, at, "lead"}, std::move(payload)}, now, target);
  }
  void refuses(Payload payload, const std::string& code, const std::string& field, Instant at = day(10)) const {
    const Status answer = ask(std::move(payload), at);
    ASSERT_FALSE(answer) << "expected " << code;
    EXPECT_EQ(answer.error().code, code);
    EXPECT_EQ(answer.error().where.field, field);
  }
  void allows(Payload payload, Instant at = day(10)) const {
    const Status answer = ask(std::move(payload), at);
    EXPECT_TRUE(answer) << answer.error().code << " " << answer.error().where.field;
  }
  Application spray() const {
    Application a;
    a.bed = "1";
    a.product = "Demo Oil One";
    a.card = Digest{};
    return a;
  }
  std::vector<Recorded> history_;
  Id okra_, count_;
};

TEST_F(Check, headings) {
  const Garden g = fold(history_, day(10));
  const auto with = [&](const Heading& h) { return check(g, {h, CountTaken{"1", "PIERRA", "egg", 1, 0}}, day(10)); };
  EXPECT_TRUE(with({numbered_id(9), "shed", 1, day(10) + Duration::minutes(5), "lead"})) << "clocks differ a little";
  EXPECT_EQ(with({numbered_id(9), "shed", 1, day(10) + Duration::minutes(6), "lead"}).error().code, "garden.in_the_future");
  EXPECT_EQ(with({numbered_id(9), "", 1, day(9), ""}).error().where.field, "writer");
  EXPECT_EQ(with({numbered_id(9), "shed", 0, day(9), ""}).error().code, "garden.writer_seq");
  EXPECT_EQ(with({numbered_id(9), "shed", 1, day(9), "a\nb"}).error().code, "garden.text_characters");
}

TEST_F(Check, theGardenItself) {
  const auto at = [](double lat, double lon, double up) {
    return GardenDescribed{"G", Angle::degrees(lat), Angle::degrees(lon), Length::metres(up), "UTC", Units::metric, "", {}, {}, {}};
  };
  allows(at(-90, 180, -400));
  refuses(at(90.01, 0, 0), "garden.coordinates", "latitude_deg");
  refuses(at(0, -180.5, 0), "garden.coordinates", "longitude_deg");
  refuses(at(std::nan(""), 0, 0), "garden.coordinates", "latitude_deg");
  refuses(at(0, 0, 10'000), "garden.elevation", "elevation_m");
}

TEST_F(Check, beds) {
  const auto sized = [](double width, double length) { return BedLaid{"9", {}, {}, Length::metres(width), Length::metres(length)}; };
  allows(sized(1, 5));
  refuses(sized(0, 5), "garden.bed_measures", "width_m");
  refuses(sized(1, -5), "garden.bed_measures", "length_m");
  refuses(BedLaid{"", {}, {}, Length::metres(1), Length::metres(1)}, "garden.text_empty", "bed");
  refuses(BedLaid{std::string(81, 'x'), {}, {}, Length::metres(1), Length::metres(1)}, "garden.text_too_long", "bed");
  refuses(BedLaid{"a\tb", {}, {}, Length::metres(1), Length::metres(1)}, "garden.text_characters", "bed");
  refuses(BedLaid{"a\xff", {}, {}, Length::metres(1), Length::metres(1)}, "garden.text_characters", "bed");
}

TEST_F(Check, plantings) {
  allows(PlantingSown{"kale-2", "1", "BRSOA", 10, date(9), date(40), date(60)});
  refuses(PlantingSown{"kale-1", "1", "BRSOA", 10, {}, {}, {}}, "garden.planting_exists", "planting");
  refuses(PlantingSown{"kale-2", "9", "BRSOA", 10, {}, {}, {}}, "garden.no_such_bed", "bed");
  refuses(PlantingSown{"kale-2", "1", "", 10, {}, {}, {}}, "garden.text_empty", "crop");
  refuses(PlantingSown{"kale-2", "1", "BRSOA", 0, {}, {}, {}}, "garden.plants_impossible", "plants");
  refuses(PlantingSown{"kale-2", "1", "BRSOA", 10, date(9), date(8), {}}, "garden.dates_reversed", "first_harvest");
  refuses(PlantingSown{"kale-2", "1", "BRSOA", 10, date(9), {}, date(8)}, "garden.dates_reversed", "last_harvest");
  refuses(PlantingRemoved{"chard"}, "garden.no_such_planting", "planting");
  refuses(PlantingRemoved{"okra-1"}, "garden.removed_before_planting", "happened_at");
  allows(PlantingRemoved{"kale-1"});
  tell(day(8), PlantingRemoved{"kale-1"});
  refuses(PlantingRemoved{"kale-1"}, "garden.removed_already", "planting");
  refuses(HarvestPlanned{"kale-1", date(30)}, "garden.removed_already", "planting");
  refuses(HarvestPlanned{"okra-1", date(19)}, "garden.dates_reversed", "day");
  allows(HarvestPlanned{"okra-1", date(60)});
}

TEST_F(Check, counts) {
  allows(CountTaken{"1", "PIERRA", "egg", 20, 0});
  refuses(CountTaken{"1", "PIERRA", "egg", 21, 0}, "garden.count_impossible", "plants");
  refuses(CountTaken{"1", "PIERRA", "egg", 0, 0}, "garden.count_impossible", "plants");
  refuses(CountTaken{"1", "PIERRA", "egg", 1, -1}, "garden.count_impossible", "count");
  refuses(CountTaken{"9", "PIERRA", "egg", 1, 1}, "garden.no_such_bed", "bed");
  refuses(CountTaken{"1", "", "egg", 1, 1}, "garden.text_empty", "pest");
  refuses(CountTaken{"3", "PIERRA", "egg", 1, 1}, "garden.bed_empty", "bed");
  refuses(CountTaken{"2", "PIERRA", "egg", 1, 1}, "garden.count_before_planting", "happened_at");
  allows(CountTaken{"1", "PIERRA", "egg", 1, 1}, day(1, 5));  // the morning it was set out
  refuses(CountTaken{"1", "PIERRA", "egg", 1, 1}, "garden.count_before_planting", "happened_at", day(0, 6));
  tell(day(7), WorkDone{WorkDone::Kind::pull, "1", ""});
  allows(CountTaken{"1", "PIERRA", "egg", 1, 1}, day(6));
  allows(CountTaken{"1", "PIERRA", "egg", 1, 1}, day(7, 20));  // what was counted on the pulled plants
  refuses(CountTaken{"1", "PIERRA", "egg", 1, 1}, "garden.bed_empty", "bed");
}

TEST_F(Check, harvests) {
  allows(HarvestTaken{"1", "kale-1", Mass::kilograms(2), ""});
  allows(HarvestTaken{"1", "", {}, ""});
  refuses(HarvestTaken{"1", "", Mass::grams(0), ""}, "garden.amount_impossible", "amount_g");
  refuses(HarvestTaken{"1", "okra-1", {}, ""}, "garden.planting_elsewhere", "planting");
  refuses(HarvestTaken{"3", "", {}, ""}, "garden.bed_empty", "bed");
  tell(day(9), PlantingSown{"kale-3", "1", "BRSOA", 20, date(15), {}, {}});
  refuses(HarvestTaken{"1", "kale-3", {}, ""}, "garden.not_standing", "planting");
}

TEST_F(Check, applications) {
  allows(spray());
  Application a = spray();
  a.card.reset();
  refuses(a, "garden.no_card", "card");
  a.outside_label = true;
  allows(a);  // a spray already made is always recordable
  a.state = Application::State::planned;
  refuses(a, "garden.planned_outside_label", "outside_label");
  a = spray();
  a.card.reset();
  a.not_judged = true;
  allows(a);
  a.state = Application::State::planned;
  refuses(a, "garden.planned_unjudged", "not_judged");
  a = spray();
  a.product.clear();
  refuses(a, "garden.text_empty", "product");
  a = spray();
  a.planting = "okra-1";
  refuses(a, "garden.planting_elsewhere", "planting");
  a = spray();
  a.state = Application::State::cancelled;
  refuses(a, "garden.cancel_needs_plan", "plan");
  a.plan = numbered_id(500);
  refuses(a, "garden.no_such_plan", "plan");
  Application plan = spray();
  plan.state = Application::State::planned;
  const Id planned = tell(day(8), plan);
  a.plan = planned;
  allows(a);
  Application made = spray();
  made.plan = planned;
  allows(made);
  tell(day(9), a);
  refuses(made, "garden.plan_finished", "plan");
}

TEST_F(Check, releases) {
  refuses(BedReleased{BedReleased::Basis::destroyed, "1", "composted"}, "garden.bed_not_locked", "bed");
  Application a = spray();
  a.outside_label = true;
  tell(day(9), a);
  refuses(BedReleased{BedReleased::Basis::destroyed, "1", ""}, "garden.text_empty", "detail");
  allows(BedReleased{BedReleased::Basis::destroyed, "1", "composted"});
}

TEST_F(Check, judgements) {
  refuses(ApplicationJudged{ApplicationJudged::Verdict::within_label, numbered_id(500), "1", {}, ""}, "garden.judges_nothing",
          "application");
  Application a = spray();
  a.not_judged = true;
  const Id id = tell(day(9), a);
  const ApplicationJudged judged{ApplicationJudged::Verdict::within_label, id, "1", {}, ""};
  allows(judged);
  const Id judgement = tell(day(9), judged);
  refuses(Amended{judgement, "it was fine", Saying{judged}, {}}, "garden.judgement_stays", "target");
}

TEST_F(Check, amendments) {
  allows(Amended{count_, "miscounted", Saying{CountTaken{"1", "PIERRA", "egg", 10, 3}}, {}});
  allows(Amended{count_, "wrong bed", std::nullopt, {}});
  refuses(Amended{count_, "", std::nullopt, {}}, "garden.text_empty", "reason");
  refuses(Amended{numbered_id(500), "?", std::nullopt, {}}, "garden.amends_nothing", "target");
  refuses(Amended{count_, "?", Saying{PlantingRemoved{"kale-1"}}, {}}, "garden.amends_other_kind", "replacement");
  refuses(Amended{count_, "?", Saying{CountTaken{"1", "PIERRA", "egg", 50, 3}}, {}}, "garden.count_impossible", "plants");
  refuses(Amended{count_, "?", Saying{CountTaken{"1", "PIERRA", "egg", 10, 3}}, day(11)}, "garden.in_the_future", "right_time");
  refuses(Amended{count_, "?", std::nullopt, day(4)}, "garden.withdrawn_has_no_time", "right_time");
  allows(Amended{okra_, "fewer plants", Saying{PlantingSown{"okra-1", "2", "ABMES", 8, date(20), {}, {}}}, {}});
  refuses(Amended{okra_, "renamed", Saying{PlantingSown{"kale-1", "2", "ABMES", 8, date(20), {}, {}}}, {}}, "garden.planting_exists",
          "planting");
  const Id amendment = tell(day(6), Amended{count_, "miscounted", std::nullopt, {}});
  refuses(Amended{amendment, "?", std::nullopt, {}}, "garden.amends_amendment", "target");
  allows(Amended{count_, "it was there", Saying{CountTaken{"1", "PIERRA", "egg", 10, 3}}, {}});
}

}  // namespace
}  // namespace leafturn::garden::test
