#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <stdexcept>

#include "core/phenology/cohort.hpp"
#include "core/phenology/rate.hpp"
#include "tests/phenology/invented_pest.hpp"

namespace leafturn::phenology {
namespace {

using test::celsius;
using test::day_of;
using test::days_since;
using test::entry;
using test::invented_pest;
using test::milwaukee;
using test::run;

TEST(Biofix, DegreeDaysPutTheMedianAtTheSum) {
  pest::Dossier d = invented_pest();
  d.biofix.kind = pest::Biofix::Kind::degree_days;
  d.biofix.month = 3;
  d.biofix.day = 1;
  d.biofix.lower = celsius(10);
  d.biofix.sum = DegreeDays::celsius_days(115);
  d.biofix.spread = 0.2;
  const auto air = test::steady_weather(day_of(2025, 1, 1), 365, 20.0);
  const Season s = run(d, air);
  EXPECT_EQ(s.biofix.code, "biofix.degree_days");
  EXPECT_EQ(s.biofix.date, day_of(2025, 3, 12));  // 11.5 days after 1 March
  const auto q = entry(s.overwintered, 5).enter;
  EXPECT_NEAR(days_since(day_of(2025, 3, 1), q.p50.value()), 11.5, 0.02);
  const double sigma = std::sqrt(std::log(1.0 + 0.2 * 0.2));
  EXPECT_NEAR(days_since(day_of(2025, 3, 1), q.p05.value()), 11.5 * std::exp(-1.6448536 * sigma), 0.03);
  EXPECT_NEAR(days_since(day_of(2025, 3, 1), q.p95.value()), 11.5 * std::exp(1.6448536 * sigma), 0.03);
  // A date given by the user is the median of the same spread.
  const Season given = run(d, air, day_of(2025, 3, 20));
  EXPECT_EQ(given.biofix.code, "biofix.given");
  EXPECT_NEAR(days_since(day_of(2025, 3, 1), entry(given.overwintered, 5).enter.p50.value()), 19.5, 0.02);
  EXPECT_GT(days_since(day_of(2025, 3, 1), entry(given.overwintered, 5).enter.p95.value()), 21.0);
  // Before the sum: nobody knows the median yet, but the first are out.
  const Season early = run(d, air, {}, day_of(2025, 3, 10));
  EXPECT_EQ(early.biofix.code, "biofix.not_yet");
  EXPECT_FALSE(early.biofix.date);
  EXPECT_FALSE(early.days.empty());
  EXPECT_EQ(run(d, air, {}, day_of(2025, 2, 10)).biofix.code, "biofix.not_yet");
  EXPECT_TRUE(run(d, air, {}, day_of(2025, 2, 10)).days.empty());
}

TEST(Biofix, WarmDaysWaitForTheRunningMean) {
  pest::Dossier d = invented_pest();
  d.biofix.kind = pest::Biofix::Kind::warm_days;
  d.biofix.month = 2;
  d.biofix.day = 1;
  d.biofix.lower = celsius(12);
  d.biofix.run_days = 5;
  d.biofix.spread = 0.5;
  const auto air = test::hourly_weather(day_of(2025, 1, 1), 365, [](double t) { return t < 99.0 ? 5.0 : 14.0; });
  const Season s = run(d, air);
  EXPECT_EQ(s.biofix.code, "biofix.warm_days");
  // 5 °C to 9 April, 14 °C from 10 April: four of five warm days make 12.2.
  EXPECT_EQ(s.biofix.date, day_of(2025, 4, 13));
  EXPECT_NEAR(days_since(day_of(2025, 4, 13), entry(s.overwintered, 5).enter.p50.value()), 0.5, 0.02);
  EXPECT_NEAR(days_since(day_of(2025, 4, 13), entry(s.overwintered, 5).enter.p95.value()), 0.5 + 1.6448536 * 2.5, 0.03);
  auto holed = air;
  holed.days[100] = std::nullopt;  // 11 April: the run starts anew
  EXPECT_EQ(run(d, holed).biofix.date, day_of(2025, 4, 16));
}

TEST(Biofix, MigrantsNeedAFind) {
  pest::Dossier d = invented_pest();
  d.biofix.kind = pest::Biofix::Kind::first_find;
  const auto air = test::temperate_year(2025);
  const Season unknown = run(d, air);
  EXPECT_EQ(unknown.biofix.code, "biofix.needs_find");
  EXPECT_TRUE(unknown.generations.empty());
  EXPECT_TRUE(unknown.days.empty());
  const Season found = run(d, air, day_of(2025, 6, 3));
  EXPECT_EQ(found.biofix.code, "biofix.given");
  EXPECT_EQ(found.biofix.date, day_of(2025, 6, 3));
  EXPECT_EQ(entry(found.overwintered, 5).enter.p50.value(), (CivilTime{day_of(2025, 6, 3), 12 * 3600}));
  EXPECT_EQ(run(d, {day_of(2025, 1, 1), {}}, day_of(2025, 6, 3)).biofix.code, "biofix.no_weather");
  d.biofix.stage = "no such stage";
  EXPECT_EQ(run(d, air, day_of(2025, 6, 3)).biofix.code, "biofix.unknown_stage");
}

TEST(AgeOn, LeavesAnEvenlySpreadStageLikeItsRestOfLife) {
  const pest::Dossier d = invented_pest();
  const auto air = test::steady_weather(day_of(2025, 6, 1), 40, 20.0);
  const auto table = age_on(d, air, {day_of(2025, 6, 5), 12 * 3600}, {1.0, 0, 0, 0, 0, 0}, 10);
  ASSERT_EQ(table.size(), 11u);
  for (std::size_t day = 0; day < table.size(); ++day) {
    // From substage j of 25 there are 25 − j + … left: the mean over j of an Erlang distribution's upper part.
    const double t = static_cast<double>(day) + 0.5;
    double expected = 0.0;
    for (int j = 1; j <= 25; ++j) expected += (1.0 - erlang_cdf(j, 6.0 * j / 25.0, t)) / 25.0;
    EXPECT_NEAR(table[day][0], expected, 1e-9);
    double all = 0.0;
    for (const double share : table[day]) all += share;
    EXPECT_LE(all, 1.0 + 1e-9);
  }
  // Without weather nobody moves.
  const auto still = age_on(d, air, {day_of(2025, 8, 5), 0}, {0, 0.5, 0.5, 0, 0, 0}, 3);
  EXPECT_NEAR(still.back()[1], 0.5, 1e-12);
  EXPECT_NEAR(still.back()[2], 0.5, 1e-12);
}

}  // namespace
}  // namespace leafturn::phenology
