// The future as past years brought to where this year stands: laws on invented climates, worth on a real one.
#include "core/weather/ensemble.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "io/weather_csv.hpp"
#include "tests/support/data.hpp"

namespace leafturn::weather {
namespace {

Date day(int y, int m, int d) { return *Date::from_ymd(y, m, d); }

/// A climate whose anomalies are a first-order autoregression: what is left of a day's anomaly after k days is phi^k.
DailySeries invented(double phi, double sd, int first, int last, std::uint64_t seed) {
  std::vector<Day> days;
  double a = 0.0;
  std::uint64_t state = seed;
  const auto uniform = [&] {
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return (static_cast<double>(state >> 11) + 0.5) / 9007199254740992.0;
  };
  for (Date d = day(first, 1, 1); d <= day(last, 12, 31); d = d + Days{1}) {
    const double normal = std::sqrt(-2.0 * std::log(uniform())) * std::cos(6.283185307179586 * uniform());
    a = phi * a + sd * std::sqrt(1.0 - phi * phi) * normal;
    const double usual = 10.0 - 12.0 * std::cos(6.283185307179586 * (d.day_of_year() - 20) / 365.25);
    days.push_back({d, Temperature::celsius(usual + a - 5.0), Temperature::celsius(usual + a + 5.0), {}, false});
  }
  return *DailySeries::from_days(std::move(days));
}

TEST(Normals, of_an_invented_climate_are_its_own) {
  const auto series = invented(0.7, 3.0, 1960, 2025, 1);
  const auto normals = Normals::from(series, 2026);
  ASSERT_TRUE(normals);
  EXPECT_EQ(normals->years().size(), 66U);
  double worst = 0.0;
  for (Date d = day(2024, 1, 1); d <= day(2024, 12, 31); d = d + Days{1}) {
    const double usual = 10.0 - 12.0 * std::cos(6.283185307179586 * (d.day_of_year() - 20) / 365.25);
    worst = std::max(worst, std::abs(normals->min_on(d).mean.celsius() - (usual - 5.0)));
    EXPECT_NEAR(normals->max_on(d).sd.kelvin(), 3.0, 0.9) << d.iso();
  }
  EXPECT_LT(worst, 1.0);  // 66 years of spells, a week either side
}

TEST(Normals, leave_out_years_with_holes_and_need_three) {
  auto series = invented(0.5, 2.0, 2018, 2022, 2);
  std::vector<Day> days(series.days().begin(), series.days().end());
  for (Day& d : days)
    if (d.date.year() == 2020 && d.date.month() < 4) d.min.reset();
  series = *DailySeries::from_days(std::move(days));
  const auto normals = Normals::from(series, 2023);
  ASSERT_TRUE(normals);
  EXPECT_EQ(normals->left_out(), std::vector<int>{2020});
  EXPECT_EQ(normals->years(), (std::vector<int>{2018, 2019, 2021, 2022}));
  EXPECT_FALSE(Normals::from(series, 2020)) << "two whole years are no climate";
  EXPECT_FALSE(Normals::from({}, 2020));
}

TEST(Persistence, of_an_autoregression_is_the_regression_on_its_three_day_mean) {
  const double phi = 0.8;
  const auto series = invented(phi, 3.0, 1900, 2025, 3);
  const auto left = Persistence::from(series, *Normals::from(series, 2026));
  // cov(mean of x1..x3, x(3+k)) / var(mean) for an AR(1), by hand.
  const double variance = (3.0 + 4.0 * phi + 2.0 * phi * phi) / 9.0;
  for (int k = 1; k <= 7; ++k) {
    const double expected = std::pow(phi, k) * (1.0 + phi + phi * phi) / 3.0 / variance;
    EXPECT_NEAR(left.min_left(k), expected, 0.03) << k;
    EXPECT_NEAR(left.min_left(k), left.max_left(k), 1e-9);
  }
  EXPECT_LT(left.min_left(30), 0.06);
  EXPECT_EQ(left.min_left(31), 0.0);
  for (int k = 1; k <= 30; ++k) EXPECT_LE(left.min_left(k), left.min_left(k - 1));
}

TEST(Ensemble, unmatched_members_are_the_years_as_they_were) {
  const auto series = invented(0.7, 3.0, 2000, 2010, 4);
  const auto members = past_years({&series, &series, day(2010, 6, 1), day(2010, 6, 20), 5, false, 1, {}});
  ASSERT_EQ(members.size(), 5U);
  EXPECT_EQ(members[0].year, 2009);
  for (int i = 0; i < 20; ++i) {
    const Day& d = members[2].days.days()[static_cast<std::size_t>(i)];
    EXPECT_EQ(d.date, day(2010, 6, 1) + Days{i});
    EXPECT_TRUE(d.filled);
    EXPECT_EQ(d.min->celsius(), series.find(day(2007, 6, 1) + Days{i})->min->celsius());
  }
}

TEST(Ensemble, a_warm_spell_warms_every_member_less_each_day_and_never_crosses_extremes) {
  auto series = invented(0.8, 3.0, 1990, 2010, 5);
  std::vector<Day> days(series.days().begin(), series.days().end());
  for (Day& d : days)
    if (d.date >= day(2010, 5, 29) && d.date <= day(2010, 5, 31)) {
      d.min = *d.min + TemperatureSpan::kelvin(9);
      d.max = *d.max + TemperatureSpan::kelvin(9);
    }
  const auto warm = *DailySeries::from_days(std::move(days));
  const auto usual = past_years({&series, &series, day(2010, 6, 1), day(2010, 6, 25), 12, true, 1, {}});
  const auto warmer = past_years({&series, &warm, day(2010, 6, 1), day(2010, 6, 25), 12, true, 1, {}});
  ASSERT_EQ(usual.size(), warmer.size());
  for (std::size_t m = 0; m < usual.size(); ++m) {
    double last = 100.0;
    for (std::size_t i = 0; i < 25; ++i) {
      const double more = (*warmer[m].days.days()[i].max - *usual[m].days.days()[i].max).kelvin();
      EXPECT_GE(more, -1e-9);
      EXPECT_LE(more, last + 1e-9);
      EXPECT_LE(*warmer[m].days.days()[i].min, *warmer[m].days.days()[i].max);
      last = more;
    }
    EXPECT_LT(last, 0.5) << "three weeks on, hardly anything is left";
  }
}

TEST(Ensemble, leap_days_and_the_turn_of_the_year_find_their_days) {
  const auto series = invented(0.7, 3.0, 2015, 2024, 6);
  const auto over = past_years({&series, &series, day(2024, 2, 27), day(2024, 3, 2), 3, false, 1, {}});
  ASSERT_EQ(over.size(), 3U);
  EXPECT_EQ(over[0].days.days()[2].date, day(2024, 2, 29));
  EXPECT_EQ(over[0].days.days()[2].min->celsius(), series.find(day(2023, 2, 28))->min->celsius());
  const auto turn = past_years({&series, &series, day(2023, 12, 30), day(2024, 1, 3), 3, true, 1, {}});
  ASSERT_EQ(turn.size(), 3U);
  EXPECT_EQ(turn[0].days.last(), day(2024, 1, 3));
  EXPECT_TRUE(past_years({&series, &series, day(2015, 6, 1), day(2015, 6, 9), 3, true, 1, {}}).empty()) << "no year before";
}

double crps(const std::vector<double>& members, double truth) {
  double error = 0.0, spread = 0.0;
  for (const double a : members) {
    error += std::abs(a - truth);
    for (const double b : members) spread += std::abs(a - b);
  }
  const auto n = static_cast<double>(members.size());
  return error / n - spread / (2.0 * n * (n - 1.0));
}

TEST(Ensemble, matching_pays_at_milwaukee) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  LEAFTURN_SKIP_WITHOUT(path, "shared/data/milwaukee-daily-1991-2026.csv");
  const auto file = io::read_weather_csv(test::read_file(*path), "milwaukee", io::UnitsChoice::us);
  ASSERT_TRUE(file);
  const DailySeries series = fill_gaps(file->series);
  const auto heat = [](std::span<const Day> days) {
    double sum = 0.0;
    for (const Day& d : days) sum += std::max(0.0, 0.5 * (d.min->celsius() + d.max->celsius()) - 10.0);
    return sum;
  };
  for (const int length : {7, 14, 21}) {
    double matched = 0.0, unmatched = 0.0;
    int cases = 0;
    for (int year = 2001; year <= 2025; ++year)
      for (int month = 4; month <= 9; ++month)
        for (const int first : {5, 20}) {
          EnsembleRequest request{&series, &series, day(year, month, first), day(year, month, first) + Days{length - 1}, 100, true, 1, {}};
          for (int other = 1991; other <= 2025; ++other)
            if (other != year) request.years.push_back(other);
          const auto truth = series.between(request.from, request.to);
          bool whole = truth.size() == static_cast<std::size_t>(length);
          for (const Day& d : truth) whole = whole && d.complete();
          if (!whole) continue;
          const auto score = [&](bool match) {
            request.matched = match;
            std::vector<double> sums;
            for (const Member& m : past_years(request)) sums.push_back(heat(m.days.days()));
            return crps(sums, heat(truth));
          };
          matched += score(true);
          unmatched += score(false);
          ++cases;
        }
    ASSERT_GT(cases, 250);
    std::printf("  heat above 10 °C of the next %d days at Milwaukee, %d cases: score %.2f °C·d matched, %.2f as they were (ratio %.3f)\n",
                length, cases, matched / cases, unmatched / cases, matched / unmatched);
    EXPECT_LT(matched, unmatched * 1.005) << length;
  }
}

}  // namespace
}  // namespace leafturn::weather
