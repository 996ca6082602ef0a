// The last gate: what was measured at the bed.
#include "core/spray/start.hpp"

#include <gtest/gtest.h>

#include "tests/spray/weather.hpp"

namespace leafturn::spray {
namespace {

using namespace test_hours;
using garden::AtBed;

AtBed good() {
  AtBed bed;
  bed.wind = Speed::miles_per_hour(5);
  bed.temperature = Temperature::celsius(20);
  bed.humidity = 0.55;
  bed.people_clear = true;
  bed.in_flower = false;
  bed.dry = true;
  bed.dry_ahead = true;
  return bed;
}

StartFound start(const AtBed& bed) {
  return start_found(at("2026-06-12T17:10Z"), bed, madison, usual_limits(Works::contact), {}, Length::feet(100));
}

TEST(SprayStart, starts_when_all_was_measured_and_nothing_stops) { EXPECT_TRUE(start(good()).may); }

TEST(SprayStart, does_not_start_on_what_was_not_told) {
  const auto without = [](auto change) {
    AtBed bed = good();
    change(bed);
    return start(bed).may;
  };
  EXPECT_FALSE(without([](AtBed& b) { b.wind.reset(); }));
  EXPECT_FALSE(without([](AtBed& b) { b.temperature.reset(); }));
  EXPECT_FALSE(without([](AtBed& b) { b.people_clear.reset(); }));
  EXPECT_FALSE(without([](AtBed& b) { b.in_flower.reset(); }));
  EXPECT_FALSE(without([](AtBed& b) { b.dry.reset(); }));
  EXPECT_FALSE(without([](AtBed& b) { b.dry_ahead.reset(); }));
  // Humidity needs an instrument few have: without it drying is judged by eye.
  EXPECT_TRUE(without([](AtBed& b) { b.humidity.reset(); }));
}

TEST(SprayStart, does_not_start_in_calm_wind_or_near_people) {
  AtBed bed = good();
  bed.wind = Speed::miles_per_hour(2);
  EXPECT_FALSE(start(bed).may);
  bed.wind = Speed::miles_per_hour(9);
  EXPECT_FALSE(start(bed).may);
  bed = good();
  bed.people_clear = false;
  EXPECT_FALSE(start(bed).may);
}

}  // namespace
}  // namespace leafturn::spray
