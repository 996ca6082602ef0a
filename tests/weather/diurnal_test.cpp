#include "core/weather/diurnal.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/weather/sun.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::weather {
namespace {

using test::check_row;
using test::check_row_between;
using test::From;

Temperature c(double celsius) { return Temperature::celsius(celsius); }

// The published day: 12–28 °C, sunrise 5.5 h, sunset 19.5 h, the same before and after.
DiurnalDay example() {
  return {.min = c(12),
          .max = c(28),
          .previous_min = c(12),
          .previous_max = c(28),
          .next_min = c(12),
          .sunrise = 5.5,
          .sunset = 19.5,
          .previous_sunrise = 5.5,
          .previous_sunset = 19.5,
          .next_sunrise = 5.5,
          .next_sunset = 19.5};
}

TEST(Diurnal, DaySideOfPartonAndLogan) {
  const struct {
    int hour;
    double celsius;
  } rows[] = {{6, 13.89609091}, {9, 21.69135099}, {12, 26.80906573}, {14, 27.99092329}, {16, 27.18324938}, {18, 24.48653179}};
  for (const auto& row : rows)
    check_row(
        {"diurnal.parton_logan." + std::to_string(row.hour), "temperature at " + std::to_string(row.hour) + " h, 12–28 °C, sun 5.5–19.5 h",
         "Parton & Logan 1981, day formula computed independently", "derived", From::independent, row.celsius, 1e-8, "°C"},
        temperature_at(example(), row.hour).celsius());
}

// The original night formula (no displacement): what ours must approach when the asymptote is far below the night's end.
TEST(Diurnal, DisplacedNightStaysCloseToTheOriginal) {
  const struct {
    int hour;
    double celsius;
  } rows[] = {{0, 15.49963120}, {3, 13.80878905}, {20, 20.43725982}, {22, 17.43390262}};
  for (const auto& row : rows) {
    const double ours = temperature_at(example(), row.hour).celsius();
    EXPECT_LT(ours, row.celsius) << "the displaced night reaches the minimum, the original never does";
    EXPECT_NEAR(ours, row.celsius, 1.2);
  }
}

TEST(Diurnal, NightRunsFromSunsetToTheNextMinimumExactly) {
  DiurnalDay d = example();
  d.next_min = c(9);
  const double sunset = temperature_at(d, 19.5).celsius();
  EXPECT_NEAR(sunset, temperature_at(d, 19.5 - 1e-9).celsius(), 1e-6);
  // Kimball & Bellamy 1986 in closed form: from the value at sunset down to 9 °C at 5.33 h of the next day.
  const double night = 24.0 - 19.5 + 5.33;
  const double left = std::exp(-2.2);
  const double level = (9.0 - sunset * left) / (1.0 - left);
  for (const double hour : {20.0, 21.5, 23.999})
    EXPECT_NEAR(temperature_at(d, hour).celsius(), level + (sunset - level) * std::exp(-2.2 * (hour - 19.5) / night), 1e-9);
  // The minimum itself, seen from the day after.
  EXPECT_NEAR(temperature_at(example(), 5.33).celsius(), 12.0, 1e-12);
  EXPECT_NEAR(temperature_at(example(), 5.33 - 1e-9).celsius(), 12.0, 1e-6);
}

struct Weather {
  std::vector<double> min, max;
};

// A fortnight with a warm front (a minimum above the maximum before) and a cold one.
Weather fortnight() { return {{5, 6, 4, 18, 20, 3, 2, 8, 8, 15, 2, 6, 7, 9}, {15, 16, 12, 29, 31, 12, 10, 8, 20, 28, 14, 16, 17, 22}}; }

DiurnalDay at_day(const Weather& w, std::size_t i, double half_before, double half, double half_after) {
  return {.min = c(w.min[i]),
          .max = c(w.max[i]),
          .previous_min = c(w.min[i - 1]),
          .previous_max = c(w.max[i - 1]),
          .next_min = c(w.min[i + 1]),
          .sunrise = 12 - half,
          .sunset = 12 + half,
          .previous_sunrise = 12 - half_before,
          .previous_sunset = 12 + half_before,
          .next_sunrise = 12 - half_after,
          .next_sunset = 12 + half_after};
}

TEST(Diurnal, ContinuousAcrossMidnightAndInsideTheExtremes) {
  const Weather w = fortnight();
  // Half day lengths in hours: ordinary, short, sunless, midsummer night, and changes from one kind to another.
  for (const double half : {6.0, 2.1, 1.9, 0.0, 10.9, 11.5, 12.0})
    for (const double half_after : {half, 6.0, 0.5, 11.9})
      for (std::size_t i = 1; i + 2 < w.min.size(); ++i) {
        const DiurnalDay today = at_day(w, i, half, half, half_after);
        const DiurnalDay tomorrow = at_day(w, i + 1, half, half_after, half_after);
        EXPECT_NEAR(temperature_at(today, 24.0).celsius(), temperature_at(tomorrow, 0.0).celsius(), 1e-9)
            << half << ' ' << half_after << " day " << i;
        const double low = std::min({w.min[i - 1], w.min[i], w.min[i + 1]});
        const double high = std::max({w.max[i - 1], w.max[i], w.min[i + 1]});
        double before = temperature_at(today, 0.0).celsius();
        for (int k = 0; k <= 2400; ++k) {
          const double t = temperature_at(today, k / 100.0).celsius();
          ASSERT_GE(t, low - 1e-9);
          ASSERT_LE(t, high + 1e-9);
          ASSERT_LT(std::abs(t - before), 0.5) << "a jump at " << k / 100.0;
          before = t;
        }
      }
}

TEST(Diurnal, TouchesBothExtremesOfEveryDay) {
  for (const double half : {6.0, 2.0, 0.0, 11.0, 12.0}) {
    DiurnalDay d = example();
    d.sunrise = d.previous_sunrise = d.next_sunrise = 12 - half;
    d.sunset = d.previous_sunset = d.next_sunset = 12 + half;
    double low = 100.0;
    double high = -100.0;
    for (int k = 0; k <= 24'000; ++k) {
      const double t = temperature_at(d, k / 1000.0).celsius();
      low = std::min(low, t);
      high = std::max(high, t);
    }
    EXPECT_NEAR(low, 12.0, 1e-4) << half;
    EXPECT_NEAR(high, 28.0, 1e-4) << half;
  }
}

TEST(Diurnal, HourlyMeansAreTheCurvesIntegral) {
  DiurnalDay d = example();
  d.previous_max = c(20);
  d.next_min = c(16);
  const HourlyDay hours = hourly_means(d);
  double worst = 0.0;
  for (std::size_t h = 0; h < 24; ++h) {
    double sum = 0.0;
    constexpr int steps = 20'000;  // midpoints
    for (int i = 0; i < steps; ++i) sum += temperature_at(d, static_cast<double>(h) + (i + 0.5) / steps).celsius();
    worst = std::max(worst, std::abs(sum / steps - hours[h].celsius()));
  }
  check_row_between({"diurnal.hourly_means", "24 hourly means of the curve: greatest difference from 20,000 midpoints each",
                     "the curve of Parton & Logan 1981, summed numerically", "derived", From::quadrature, 0, 0, "K"},
                    0.0, 1e-6, worst);
}

TEST(Hourly, NoonFollowsTheSunAtTheSite) {
  // Twelve degrees west of the meridian the sun is late by 48 minutes less the rounding to the nearest meridian.
  std::vector<Day> days;
  for (int i = 0; i < 366; ++i) {
    Day day;
    day.date = *Date::from_ymd(2024, 1, 1) + Days{i};
    day.min = c(10);
    day.max = c(20);
    days.push_back(day);
  }
  const auto series = DailySeries::from_days(days);
  ASSERT_TRUE(series);
  const Site site{Angle::degrees(43.0), Angle::degrees(-87.9), Length{}};
  const HourlySeries hours = hourly(*series, site);
  ASSERT_EQ(hours.days.size(), 366U);
  // The warmest hour holds solar noon + day length / 2 + 1.86 − 0.17 − day length / 2 = solar noon + 1.69 h.
  for (int i = 1; i < 365; i += 13) {
    const Date date = *Date::from_ymd(2024, 1, 1) + Days{i};
    const HourlyDay& day = *hours.find(date);
    const auto warmest = std::max_element(day.begin(), day.end()) - day.begin();
    const SunDay sun = sun_day(date, site, -6 * 3600);
    const double peak = Zone::fixed(-6 * 3600).civil(sun.transit).hour() + 1.69;
    EXPECT_NEAR(static_cast<double>(warmest) + 0.5, peak, 0.53) << date.iso();
  }
}

TEST(Hourly, MissingDaysStayMissingAndNeighboursStandIn) {
  std::vector<Day> days(4);
  for (int i = 0; i < 4; ++i) days[static_cast<std::size_t>(i)].date = *Date::from_ymd(2026, 5, 1) + Days{i};
  days[0].min = days[2].min = c(10);
  days[0].max = days[2].max = c(20);
  const auto series = DailySeries::from_days(days);
  ASSERT_TRUE(series);
  const HourlySeries hours = hourly(*series, {Angle::degrees(43.0), Angle::degrees(-88.0), Length{}});
  EXPECT_NE(hours.find(*Date::from_ymd(2026, 5, 1)), nullptr);
  EXPECT_EQ(hours.find(*Date::from_ymd(2026, 5, 2)), nullptr);
  EXPECT_EQ(hours.find(*Date::from_ymd(2026, 5, 9)), nullptr);
  for (const Temperature t : *hours.find(*Date::from_ymd(2026, 5, 3))) {
    EXPECT_GE(t, c(10));
    EXPECT_LE(t, c(20));
  }
  EXPECT_TRUE(hourly(DailySeries{}, {}).days.empty());
}

}  // namespace
}  // namespace leafturn::weather
