// Recorded hours put into the day's curve.
#include "core/weather/felt_air.hpp"

#include <gtest/gtest.h>

namespace leafturn::weather {
namespace {

const Site milwaukee{Angle::degrees(43.0), Angle::degrees(-87.9), Length::metres(205)};
constexpr std::int64_t hour_us = 3600LL * 1000000LL;

Date day(int d) { return *Date::from_ymd(2026, 5, d); }

DailySeries week() {
  std::vector<Day> days;
  for (int d = 1; d <= 7; ++d) {
    Day one;
    one.date = day(d);
    one.min = Temperature::celsius(8 + d);
    one.max = Temperature::celsius(20 + d % 3);
    days.push_back(one);
  }
  return *DailySeries::from_days(days);
}

// Standard time there is six hours behind UTC.
HourlyReading row(int d, int hour, double celsius) {
  HourlyReading r;
  r.at = Zone::fixed(-6 * 3600).start_of(day(d)) + Duration{hour * hour_us};
  r.temperature = Temperature::celsius(celsius);
  return r;
}

HourlyReadings readings(std::vector<HourlyReading> rows) { return *HourlyReadings::from_readings(std::move(rows)); }

TEST(FeltAir, recorded_hours_are_returned_as_they_are) {
  std::vector<HourlyReading> rows;
  for (int h = 0; h < 24; ++h) rows.push_back(row(3, h, 30.0 + 0.37 * h));
  const auto felt = hourly(week(), milwaukee, readings(rows));
  ASSERT_NE(felt.find(day(3)), nullptr);
  for (std::size_t h = 0; h < 24; ++h) EXPECT_EQ((*felt.find(day(3)))[h], *rows[h].temperature) << h;
}

TEST(FeltAir, days_without_recorded_hours_equal_the_curve) {
  const auto curve = hourly(week(), milwaukee);
  const auto felt = hourly(week(), milwaukee, readings({row(3, 12, 30), row(3, 13, 31)}));
  ASSERT_EQ(felt.days.size(), curve.days.size());
  for (const int d : {1, 2, 4, 5, 6, 7}) EXPECT_EQ(*felt.find(day(d)), *curve.find(day(d))) << d;
  for (std::size_t h = 0; h < 24; ++h) {
    if (h == 12 || h == 13) continue;
    EXPECT_EQ((*felt.find(day(3)))[h], (*curve.find(day(3)))[h]) << h;
  }
  const auto without = hourly(week(), milwaukee, HourlyReadings{});
  for (int d = 1; d <= 7; ++d) EXPECT_EQ(*without.find(day(d)), *curve.find(day(d)));
}

TEST(FeltAir, short_gaps_are_bridged_and_longer_ones_follow_the_curve) {
  const auto curve = hourly(week(), milwaukee);
  // Three hours missing across midnight.
  const auto bridged = hourly(week(), milwaukee, readings({row(3, 22, 16), row(4, 2, 12)}));
  EXPECT_NEAR((*bridged.find(day(3)))[23].celsius(), 15.0, 1e-12);
  EXPECT_NEAR((*bridged.find(day(4)))[0].celsius(), 14.0, 1e-12);
  EXPECT_NEAR((*bridged.find(day(4)))[1].celsius(), 13.0, 1e-12);
  // Four hours missing.
  const auto left = hourly(week(), milwaukee, readings({row(3, 10, 16), row(3, 15, 11)}));
  for (const std::size_t h : {11U, 12U, 13U, 14U}) EXPECT_EQ((*left.find(day(3)))[h], (*curve.find(day(3)))[h]) << h;
  EXPECT_EQ((*left.find(day(3)))[15].celsius(), 11.0);
}

TEST(FeltAir, rows_without_a_temperature_count_as_missing_hours) {
  HourlyReading only_rain = row(3, 11, 0);
  only_rain.temperature.reset();
  only_rain.rain = Length::millimetres(2);
  const auto felt = hourly(week(), milwaukee, readings({row(3, 10, 10), only_rain, row(3, 12, 14)}));
  EXPECT_NEAR((*felt.find(day(3)))[11].celsius(), 12.0, 1e-12);
}

TEST(FeltAir, a_day_without_extremes_needs_every_hour) {
  const DailySeries whole = week();
  std::vector<Day> days(whole.days().begin(), whole.days().end());
  for (int d = 3; d <= 4; ++d) days[static_cast<std::size_t>(d - 1)].max.reset();
  const auto series = *DailySeries::from_days(days);
  std::vector<HourlyReading> rows;
  for (int h = 0; h < 24; ++h) {
    if (h != 7 && h != 8) rows.push_back(row(3, h, 10 + h));
    if (h < 20) rows.push_back(row(4, h, 10 + h));
  }
  const auto felt = hourly(series, milwaukee, readings(rows));
  ASSERT_NE(felt.find(day(3)), nullptr) << "two missing hours are bridged";
  EXPECT_NEAR((*felt.find(day(3)))[8].celsius(), 18.0, 1e-12);
  EXPECT_EQ(felt.find(day(4)), nullptr);
}

TEST(FeltAir, hours_outside_the_series_add_no_day_but_end_a_bridge) {
  HourlyReading before = row(1, 0, 20);
  before.at = before.at - Duration{2 * hour_us};
  const auto felt = hourly(week(), milwaukee, readings({before, row(1, 1, 14), row(20, 5, 30)}));
  EXPECT_EQ(felt.first, day(1));
  EXPECT_EQ(felt.days.size(), 7U);
  EXPECT_NEAR((*felt.find(day(1)))[0].celsius(), 16.0, 1e-12);
}

}  // namespace
}  // namespace leafturn::weather
