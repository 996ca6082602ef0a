// Runs of hours, their chances, and the least bad when nothing is clean.
#include "core/spray/windows.hpp"

#include <gtest/gtest.h>

#include "tests/spray/weather.hpp"

namespace leafturn::spray {
namespace {

using namespace test_hours;
using weather::HourlyReading;

HoursRequest asked(const weather::HourlyReadings& told) {
  HoursRequest request;
  request.told = &told;
  request.from = at("2026-06-12T15:20Z");
  request.hours = 6;
  request.site = madison;
  request.limits = usual_limits(Works::contact);
  request.around = plain();
  return request;
}

TEST(SprayWindows, run_from_hour_to_hour_and_none_shorter_than_the_work) {
  const auto told = hours_from("2026-06-12T13:00Z", 48, [](HourlyReading& r, int h) {
    if (h == 4) r.wind = Speed::miles_per_hour(12);  // 17:00
  });
  HoursRequest request = asked(told);
  auto found = spray_hours(request);
  ASSERT_EQ(found.hours.size(), 6u);
  EXPECT_EQ(found.hours.front().at, at("2026-06-12T15:00Z"));
  ASSERT_EQ(found.windows.size(), 2u);
  EXPECT_EQ(found.windows[0].start, at("2026-06-12T15:00Z"));
  EXPECT_EQ(found.windows[0].end, at("2026-06-12T17:00Z"));
  EXPECT_EQ(found.windows[1].start, at("2026-06-12T18:00Z"));
  EXPECT_EQ(found.windows[1].end, at("2026-06-12T21:00Z"));
  EXPECT_FALSE(found.windows[0].chance);
  EXPECT_FALSE(found.compromise);
  request.needs = Duration::minutes(121);
  found = spray_hours(request);
  ASSERT_EQ(found.windows.size(), 1u);
  EXPECT_EQ(found.windows[0].start, at("2026-06-12T18:00Z"));
}

TEST(SprayWindows, a_chance_is_the_share_of_members_that_stay_open) {
  const auto told = hours_from("2026-06-12T13:00Z", 48, [](HourlyReading&, int) {});
  HoursRequest request = asked(told);
  for (const int windy : {3, 4, 4, 99})
    request.members.push_back(hours_from("2026-06-12T13:00Z", 48, [&](HourlyReading& r, int h) {
      if (h == windy) r.wind = Speed::miles_per_hour(12);
    }));
  const auto found = spray_hours(request);
  EXPECT_DOUBLE_EQ(*found.chances[0], 1.0);
  EXPECT_DOUBLE_EQ(*found.chances[1], 0.75);
  EXPECT_DOUBLE_EQ(*found.chances[2], 0.50);
  ASSERT_EQ(found.windows.size(), 1u);
  EXPECT_DOUBLE_EQ(*found.windows[0].chance, 0.25);  // all of it, not its best hour
}

TEST(SprayWindows, where_nothing_is_clean_the_least_bad_is_told_with_what_gives) {
  const auto told = hours_from("2026-06-12T13:00Z", 48, [](HourlyReading& r, int h) {
    r.temperature = Temperature::fahrenheit(h == 5 ? 87 : 91);
    r.humidity = 0.5;
    if (h == 3) r.wind = Speed::miles_per_hour(1);
    if (h == 40) r.rain = Length::millimetres(4);
    if (h == 24) r.rain = Length::millimetres(4);
  });
  const auto found = spray_hours(asked(told));
  EXPECT_TRUE(found.windows.empty());
  ASSERT_TRUE(found.compromise);
  for (const auto& f : found.compromise->gives) EXPECT_NE(f.state, LimitState::stop);
  EXPECT_NE(found.compromise->start, at("2026-06-12T16:00Z"));  // calm is no compromise
  EXPECT_FALSE(found.compromise->costs.empty());
}

TEST(SprayWindows, no_compromise_with_what_stops_or_is_unknown) {
  const auto told = hours_from("2026-06-12T13:00Z", 48, [](HourlyReading& r, int h) {
    if (h % 2 == 0)
      r.wind = Speed::miles_per_hour(12);
    else
      r.wind.reset();
  });
  const auto found = spray_hours(asked(told));
  EXPECT_TRUE(found.windows.empty());
  EXPECT_FALSE(found.compromise);
}

}  // namespace
}  // namespace leafturn::spray
