// The calendar over several futures, found eggs gone on with, other years beside this one; starts that the calendar can't give.
#include "core/phenology/calendar.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/phenology/compare.hpp"
#include "core/phenology/hatch.hpp"
#include "core/phenology/rate.hpp"
#include "core/phenology/winter.hpp"
#include "tests/phenology/invented_pest.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using test::celsius;
using test::check_row;
using test::day_of;
using test::days_since;
using test::From;
using test::invented_pest;
using test::milwaukee;

constexpr std::array<double, 5> marks{0.05, 0.25, 0.5, 0.75, 0.95};

std::vector<weather::HourlySeries> warmer_and_warmer(int members) {
  std::vector<weather::HourlySeries> out;
  for (int m = 0; m < members; ++m) out.push_back(test::temperate_year(2025, 0.3 * m));
  return out;
}

SeasonRequest request_for(const pest::Dossier& dossier) {
  SeasonRequest request;
  request.dossier = &dossier;
  request.site = milwaukee;
  request.year = 2025;
  return request;
}

TEST(Hatch, fresh_eggs_hatch_as_the_erlang_distribution_says) {
  const pest::Dossier d = invented_pest();
  const std::vector<weather::HourlySeries> air{test::steady_weather(day_of(2025, 6, 1), 60, 20.0)};
  const CivilTime found{day_of(2025, 6, 2), 6 * 3600};
  const Hatch out = hatch({&d, milwaukee, 0, found, Age::fresh, {}}, air);
  ASSERT_EQ(out.stages.front().stage, 1U);
  EXPECT_EQ(out.members, 1U);
  const int k = substages(0.2);
  for (std::size_t m = 0; m < marks.size(); ++m) {
    const double after = days_since(found.date, out.stages.front().enter[m].at.value()) - 0.25;
    check_row({"hatch.fresh." + std::to_string(m), "share hatched by the time given for it, eggs of 60 °C·d at 20 °C",
               "Erlang distribution function (Manetsch 1976), closed form", "derived", From::independent, marks[m], 0.003, ""},
              erlang_cdf(k, 6.0, after));
    EXPECT_FALSE(out.stages.front().enter[m].early) << "one future has no interval";
  }
}

TEST(Hatch, eggs_of_unknown_age_hatch_as_the_mean_over_all_ages) {
  const pest::Dossier d = invented_pest();
  const std::vector<weather::HourlySeries> air{test::steady_weather(day_of(2025, 6, 1), 60, 20.0)};
  const CivilTime found{day_of(2025, 6, 2), 0};
  const auto enter = hatch({&d, milwaukee, 0, found, Age::unknown, {}}, air).stages.front().enter;
  const int k = substages(0.2);
  for (std::size_t m = 0; m < marks.size(); ++m) {
    const double after = days_since(found.date, enter[m].at.value());
    double hatched = 0.0;
    for (int left = 1; left <= k; ++left) hatched += erlang_cdf(left, 6.0 * left / k, after) / k;
    check_row(
        {"hatch.unknown." + std::to_string(m), "share hatched by the time given for it, age unknown",
         "mean of Erlang distribution functions over the substages left, closed form", "derived", From::independent, marks[m], 0.003, ""},
        hatched);
  }
  const auto old = hatch({&d, milwaukee, 0, found, Age::old, {}}, air).stages.front().enter;
  const auto fresh = hatch({&d, milwaukee, 0, found, Age::fresh, {}}, air).stages.front().enter;
  EXPECT_LT(days_since(found.date, *old[2].at), days_since(found.date, *enter[2].at));
  EXPECT_LT(days_since(found.date, *enter[2].at), days_since(found.date, *fresh[2].at));
}

TEST(Hatch, intervals_hold_the_middle_and_later_stages_come_later) {
  const pest::Dossier d = invented_pest();
  const auto futures = warmer_and_warmer(9);
  const Hatch out = hatch({&d, milwaukee, 0, {day_of(2025, 6, 2), 43200}, Age::unknown, {}}, futures);
  EXPECT_EQ(out.members, 9U);
  std::optional<CivilTime> before;
  for (const auto& stage : out.stages) {
    for (const auto& mark : stage.enter) {
      if (!mark.at) continue;
      if (mark.early) {
        EXPECT_LE(*mark.early, *mark.at);
      }
      if (mark.late) {
        EXPECT_GE(*mark.late, *mark.at);
      }
    }
    if (before && stage.enter[2].at) {
      EXPECT_GT(*stage.enter[2].at, *before);
    }
    before = stage.enter[2].at;
  }
}

TEST(Calendar, its_middle_is_the_middle_future_and_more_heat_is_never_later) {
  const pest::Dossier d = invented_pest();
  const auto futures = warmer_and_warmer(9);
  const auto all = seasons(request_for(d), futures);
  const Calendar over = calendar(d, all, true);
  EXPECT_EQ(over.members, 9U);
  const auto& middle = all[4].generations.front().stages;
  for (const auto& entry : over.generations.front().stages) {
    const auto& own = *std::find_if(middle.begin(), middle.end(), [&](const StageEntry& e) { return e.stage == entry.stage; });
    EXPECT_EQ(entry.enter[2].at, own.enter.p50) << entry.stage;
    if (entry.enter[2].early) {
      EXPECT_LE(*entry.enter[2].early, *entry.enter[2].at);
    }
  }
  for (std::size_t m = 1; m < all.size(); ++m)
    for (std::size_t s = 0; s < middle.size(); ++s) {
      const auto cooler = all[m - 1].generations.front().stages[s].enter.p50;
      const auto warmer = all[m].generations.front().stages[s].enter.p50;
      if (cooler && warmer) {
        EXPECT_LE(*warmer, *cooler) << m << " " << s;
      }
    }
}

TEST(Calendar, marks_come_in_order_and_a_last_generation_is_said_to_be_partial) {
  pest::Dossier d = invented_pest();
  d.diapause = pest::Diapause{"larva", "pupa", {14.0, {}}, 0.4};
  const auto futures = warmer_and_warmer(5);
  const auto all = seasons(request_for(d), futures);
  const Calendar over = calendar(d, all, true);
  ASSERT_GE(over.generations.size(), 2U);
  for (const auto& generation : over.generations)
    for (const auto& stage : generation.stages)
      for (std::size_t m = 1; m < stage.enter.size(); ++m)
        if (stage.enter[m].at) {
          ASSERT_TRUE(stage.enter[m - 1].at);
          EXPECT_GE(*stage.enter[m].at, *stage.enter[m - 1].at);
        }
  const auto& last = over.generations.back();
  ASSERT_TRUE(last.partial);
  EXPECT_TRUE(*last.partial);
  EXPECT_GT(over.generations[over.generations.size() - 2].resting.mean + last.resting.mean, 0.05) << "short days bind some";
  EXPECT_FALSE(calendar(d, all, false).generations.back().partial.value_or(false)) << "where the weather ends early it isn't known yet";
}

TEST(Calendar, what_comes_next_is_soonest_first_and_not_over) {
  const pest::Dossier d = invented_pest();
  const auto futures = warmer_and_warmer(5);
  const Calendar over = calendar(d, seasons(request_for(d), futures), true);
  const Date from = day_of(2025, 6, 15);
  const auto next = next_events(d, over, from, 6);
  ASSERT_EQ(next.size(), 6U);
  for (std::size_t i = 0; i < next.size(); ++i) {
    EXPECT_GE(next[i].when.at->date, from);
    EXPECT_TRUE(is_key_stage(d, next[i].stage));
    if (i > 0) {
      EXPECT_GE(*next[i].when.at, *next[i - 1].when.at);
    }
  }
}

TEST(Calendar, futures_that_never_come_count_as_latest) {
  const CivilTime early{day_of(2025, 6, 1), 0};
  const CivilTime late{day_of(2025, 6, 9), 0};
  const auto some = over_members({late, early, std::nullopt});
  EXPECT_EQ(some.at, late);
  EXPECT_EQ(some.reached, 2U);
  EXPECT_FALSE(some.late) << "nine in ten don't get there";
  EXPECT_FALSE(over_members({early, std::nullopt, std::nullopt}).at);
  EXPECT_FALSE(over_members({}).at);
}

TEST(Migrants, get_no_dates_north_of_their_limit_without_a_find) {
  pest::Dossier d = invented_pest();
  d.migrant_north_of = pest::Sourced<Angle>{Angle::degrees(40), {}};
  const auto air = test::temperate_year(2025);
  const Season unknown = test::run(d, air);
  EXPECT_EQ(unknown.biofix.code, "biofix.migrant");
  EXPECT_FALSE(unknown.biofix.date);
  EXPECT_TRUE(unknown.days.empty());
  EXPECT_TRUE(unknown.generations.empty());
  const Season found = test::run(d, air, day_of(2025, 6, 3));
  EXPECT_EQ(found.biofix.code, "biofix.given");
  EXPECT_FALSE(found.generations.empty());
  d.migrant_north_of->value = Angle::degrees(45);
  EXPECT_EQ(test::run(d, air).biofix.code, "biofix.date") << "Milwaukee lies south of it";
  d.migrant_north_of->value = Angle::degrees(0);
  EXPECT_TRUE(comes_as_migrant(d, milwaukee));
}

TEST(Winter, a_killing_night_is_found_between_november_and_may) {
  pest::Dossier d = invented_pest();
  d.winter_kill = pest::Sourced<Temperature>{celsius(-15), {}};
  std::vector<weather::Day> days;
  for (Date day = day_of(2023, 1, 1); day <= day_of(2025, 6, 30); day = day + Days{1})
    days.push_back({day, celsius(-5), celsius(5), {}, false});
  const auto cold_on = [&](Date on, double beside = -14.0) {
    auto some = days;
    for (auto& day : some) {
      if (day.date == on) day.min = celsius(-20);
      if (day.date == on + Days{1}) day.min = celsius(beside);
    }
    return winter_kill(d, *weather::DailySeries::from_days(some), day_of(2025, 6, 15));
  };
  EXPECT_EQ(cold_on(day_of(2025, 1, 20))->on, day_of(2025, 1, 20));
  EXPECT_EQ(cold_on(day_of(2024, 11, 1))->coldest.celsius(), -20.0);
  EXPECT_FALSE(cold_on(day_of(2024, 10, 31))) << "before November";
  EXPECT_FALSE(cold_on(day_of(2024, 1, 20))) << "the winter before";
  EXPECT_TRUE(cold_on(day_of(2025, 1, 20), -5.0)) << "15 K below its neighbours is not more than that";
  for (auto& day : days) day.min = celsius(4);
  EXPECT_FALSE(cold_on(day_of(2025, 5, 23), 4.0)) << "a slip of the station in May";
  for (auto& day : days) day.min = celsius(-5);
  EXPECT_FALSE(winter_kill(invented_pest(), *weather::DailySeries::from_days(days), day_of(2025, 6, 15))) << "no limit known";
  SeasonRequest request = request_for(d);
  const auto air = test::temperate_year(2025);
  request.air = &air;
  request.winter_kill = cold_on(day_of(2025, 1, 20));
  EXPECT_EQ(season(request).biofix.code, "biofix.winter_kill");
  EXPECT_TRUE(season(request).generations.empty());
  request.biofix = day_of(2025, 5, 20);
  EXPECT_FALSE(season(request).generations.empty()) << "a find starts it all the same";
}

TEST(Biofix, day_length_starts_on_the_first_day_long_enough) {
  pest::Dossier d = invented_pest();
  d.biofix.kind = pest::Biofix::Kind::day_length;
  d.biofix.month = 2;
  d.biofix.day = 1;
  d.biofix.day_length_hours = 13.5;
  const auto air = test::steady_weather(day_of(2025, 1, 1), 365, 20.0);
  const Season s = test::run(d, air);
  EXPECT_EQ(s.biofix.code, "biofix.day_length");
  ASSERT_TRUE(s.biofix.date);
  // At 43° N the almanac's day passes 13.5 h in the third week of April (CBM model; checked in tests/weather/sun_test.cpp).
  EXPECT_GE(*s.biofix.date, day_of(2025, 4, 16));
  EXPECT_LE(*s.biofix.date, day_of(2025, 4, 22));
}

TEST(Biofix, soil_heat_comes_later_than_air_heat_in_spring) {
  pest::Dossier d = invented_pest();
  d.biofix.kind = pest::Biofix::Kind::degree_days;
  d.biofix.month = 2;
  d.biofix.day = 1;
  d.biofix.lower = celsius(4);
  d.biofix.sum = DegreeDays::celsius_days(180);
  const auto air = test::temperate_year(2025);
  const Season by_air = test::run(d, air);
  d.biofix.in_soil = true;
  const Season by_soil = test::run(d, air);
  EXPECT_EQ(by_soil.biofix.code, "biofix.degree_days_soil");
  EXPECT_GT(*by_soil.biofix.date, *by_air.biofix.date);
  EXPECT_LT((*by_soil.biofix.date - *by_air.biofix.date).count, 15);
  d.biofix.in_soil = false;
  d.biofix.upper = celsius(6);
  EXPECT_GT(*test::run(d, air).biofix.date, *by_air.biofix.date) << "heat above the cap counts no more";
}

TEST(Compare, a_year_like_the_others_is_neither_early_nor_late_and_a_warm_one_is_early) {
  weather::HourlySeries record{day_of(2015, 1, 1), {}};
  for (int year = 2015; year <= 2025; ++year) {
    const auto one = test::temperate_year(year, year == 2025 ? 2.0 : (year % 2 == 0 ? 0.5 : -0.5));
    const int days = (day_of(year, 12, 31) - day_of(year, 1, 1)).count + 1;
    for (int i = 0; i < days; ++i) record.days.push_back(one.days[static_cast<std::size_t>(std::min(i, 364))]);
  }
  const HeatRule rule{celsius(10), {}, false, 1, 1};
  const auto warm = compare_heat(rule, record, 2025, day_of(2025, 6, 30));
  EXPECT_EQ(warm.years, 10U);
  EXPECT_EQ(warm.until, day_of(2025, 6, 30));
  EXPECT_GT(warm.now->celsius_days(), warm.high->celsius_days());
  EXPECT_GT(*warm.days_ahead_of_normal, 5);
  const auto usual = compare_heat(rule, record, 2024, day_of(2024, 6, 30));
  EXPECT_GT(*usual.days_ahead_of_last_year, 0) << "half a degree warmer than normal, a degree warmer than 2023";
  EXPECT_LE(usual.low->celsius_days(), usual.normal->celsius_days());
  EXPECT_GE(usual.high->celsius_days(), usual.normal->celsius_days());
  EXPECT_EQ(compare_heat(rule, record, 2018, day_of(2018, 6, 30)).years, 3U);
  EXPECT_FALSE(compare_heat(rule, record, 2018, day_of(2018, 6, 30)).normal) << "three years are no normal";
  // The heat itself, by hand: every hour above 10 °C.
  double sum = 0.0;
  for (Date day = day_of(2025, 1, 1); day <= day_of(2025, 6, 30); day = day + Days{1})
    for (const Temperature t : *record.find(day)) sum += std::max(0.0, t.celsius() - 10.0) / 24.0;
  EXPECT_NEAR(warm.now->celsius_days(), sum, 1e-9);
}

}  // namespace
}  // namespace leafturn::phenology
