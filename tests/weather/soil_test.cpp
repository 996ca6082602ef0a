#include "core/weather/soil.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "tests/support/check_rows.hpp"

namespace leafturn::weather {
namespace {

HourlySeries air_of(int days, const std::function<double(double)>& temperature) {
  HourlySeries series{Date::from_ymd(2025, 3, 1).value(), {}};
  for (int d = 0; d < days; ++d) {
    HourlyDay day;
    for (std::size_t h = 0; h < 24; ++h) day[h] = Temperature::celsius(temperature(d + static_cast<double>(h) / 24.0));
    series.days.emplace_back(day);
  }
  return series;
}

TEST(Soil, SteadyAirGivesTheSameSoil) {
  const auto soil = soil_at_5cm(air_of(20, [](double) { return 14.0; }));
  for (const auto& day : soil.days)
    for (const Temperature t : *day) EXPECT_NEAR(t.celsius(), 14.0, 1e-9);
}

TEST(Soil, AStepInTheAirIsFollowedWithTheLagOfFiveDays) {
  const auto soil = soil_at_5cm(air_of(60, [](double t) { return t < 30.0 ? 5.0 : 15.0; }));
  const auto at = [&](int day) { return (*soil.days[static_cast<std::size_t>(day)])[0].celsius(); };
  EXPECT_NEAR(at(30), 5.0, 1e-9);
  for (const int days : {1, 5, 10, 20}) EXPECT_NEAR(at(30 + days), 15.0 - 10.0 * std::exp(-days / 5.0), 1e-9);
}

// Heat conduction with a damping depth of 11.7 cm (Campbell & Norman 1998, ch. 8, from memory): exp(−5/11.7) = 0.652 of the wave, 5/11.7
// rad late.
TEST(Soil, TheDailyWaveIsDampedAndLate) {
  const double pi = 3.14159265358979323846;
  const auto soil = soil_at_5cm(air_of(80, [&](double t) { return 15.0 + 8.0 * std::sin(2.0 * pi * t); }));
  double in_phase = 0.0;
  double out_of_phase = 0.0;
  for (std::size_t h = 0; h < 24; ++h) {
    const double t = (*soil.days[79])[h].celsius() - 15.0;
    in_phase += t * std::sin(2.0 * pi * static_cast<double>(h) / 24.0) / 12.0;
    out_of_phase += t * std::cos(2.0 * pi * static_cast<double>(h) / 24.0) / 12.0;
  }
  const double amplitude = std::hypot(in_phase, out_of_phase) / 8.0;
  const double late = -std::atan2(out_of_phase, in_phase) * 24.0 / (2.0 * pi);
  test::check_row({"soil.wave.amplitude", "daily wave at 5 cm as a part of the air's",
                   "exp(-z/d), d = 11.7 cm: Campbell & Norman 1998, Environmental Biophysics, ch. 8", "memory", test::From::memory,
                   std::exp(-5.0 / 11.7), 0.04, ""},
                  amplitude);
  test::check_row({"soil.wave.lag", "lag of the daily wave at 5 cm", "z/(d*omega), d = 11.7 cm: Campbell & Norman 1998, ch. 8", "memory",
                   test::From::memory, 5.0 / 11.7 * 24.0 / (2.0 * pi), 0.5, "h"},
                  late);
}

TEST(Soil, MissingDaysStayMissingAndAreNotForgotten) {
  auto air = air_of(40, [](double) { return 12.0; });
  air.days[20] = std::nullopt;
  const auto soil = soil_at_5cm(air);
  EXPECT_EQ(soil.find(air.first + Days{20}), nullptr);
  EXPECT_NEAR((*soil.days[21])[0].celsius(), 12.0, 1e-9);
}

}  // namespace
}  // namespace leafturn::weather
