#include "core/weather/quality.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace leafturn::weather {
namespace {

Date day(int y, int m, int d) { return *Date::from_ymd(y, m, d); }

/// Three years of a plain climate with a weather of its own, changed by `change`.
DailySeries climate(const std::function<void(Day&)>& change = [](Day&) {}) {
  std::vector<Day> days;
  int n = 0;
  for (Date d = day(2021, 1, 1); d <= day(2023, 12, 31); d = d + Days{1}, ++n) {
    Day one;
    one.date = d;
    const double season = 10.0 - 14.0 * std::cos((d.day_of_year() - 20) * 6.2831853 / 365.0);
    const double swing = 4.0 * std::sin(n * 1.7) + 2.0 * std::sin(n * 0.37);
    one.min = Temperature::celsius(season + swing - 5.0);
    one.max = Temperature::celsius(season + swing + 5.0);
    change(one);
    days.push_back(one);
  }
  return *DailySeries::from_days(std::move(days));
}

std::vector<Finding> found(const Quality& quality, std::string_view code) {
  std::vector<Finding> some;
  std::copy_if(quality.findings.begin(), quality.findings.end(), std::back_inserter(some),
               [&](const Finding& f) { return f.reason.code == code; });
  return some;
}

bool within(Date d, Date first, Date last) { return d >= first && d <= last; }

TEST(Quality, NothingIsFoundInAPlainClimate) {
  const Quality quality = examine(climate());
  EXPECT_TRUE(quality.findings.empty()) << quality.findings.front().reason.code << " " << quality.findings.front().first.iso();
  EXPECT_EQ(quality.days, 1095);
  EXPECT_EQ(quality.complete, 1095);
  EXPECT_EQ(quality.years.size(), 3U);
  EXPECT_TRUE(examine({}).findings.empty());
}

TEST(Quality, CountsWhatIsMissingByYearAndWhatCanBeFilled) {
  const Quality quality = examine(climate([](Day& d) {
    if (within(d.date, day(2021, 3, 1), day(2021, 3, 2)) || within(d.date, day(2022, 7, 1), day(2022, 7, 4))) d.max.reset();
  }));
  EXPECT_EQ(quality.years[0].missing, 2);
  EXPECT_EQ(quality.years[1].missing, 4);
  EXPECT_EQ(quality.years[2].missing, 0);
  EXPECT_EQ(quality.filled, 2) << "four in a row are not filled";
  ASSERT_EQ(quality.gaps.size(), 2U);
  const auto gaps = found(quality, "quality.long_gap");
  ASSERT_EQ(gaps.size(), 1U);
  EXPECT_EQ(gaps[0].first, day(2022, 7, 1));
  EXPECT_EQ(gaps[0].last, day(2022, 7, 4));
}

TEST(Quality, AStuckInstrumentIsFoundFromFiveDaysOn) {
  const auto stuck_for = [](int days) {
    return found(examine(climate([&](Day& d) {
                   if (!within(d.date, day(2022, 5, 10), day(2022, 5, 10) + Days{days - 1})) return;
                   d.min = Temperature::celsius(8.0);
                   d.max = Temperature::celsius(19.0);
                 })),
                 "quality.stuck");
  };
  EXPECT_TRUE(stuck_for(4).empty());
  const auto five = stuck_for(5);
  ASSERT_EQ(five.size(), 1U);
  EXPECT_EQ(five[0].first, day(2022, 5, 10));
  EXPECT_EQ(five[0].last, day(2022, 5, 14));
}

TEST(Quality, DaysWithASingleReading) {
  const auto equal = found(examine(climate([](Day& d) {
                             if (d.date.day() == 7 && d.date.year() == 2023) d.min = d.max;
                           })),
                           "quality.equal_extremes");
  ASSERT_EQ(equal.size(), 1U);
  EXPECT_EQ(std::get<std::int64_t>(equal[0].reason.facts[0].value), 12);
  EXPECT_EQ(equal[0].first, day(2023, 1, 7));
  EXPECT_EQ(equal[0].last, day(2023, 12, 7));
}

TEST(Quality, ALostMinusSignIsASpike) {
  const auto spikes = found(examine(climate([](Day& d) {
                              if (d.date == day(2022, 7, 15)) d.min = Temperature::celsius(-19.0);
                            })),
                            "quality.spike");
  ASSERT_EQ(spikes.size(), 1U);
  EXPECT_EQ(spikes[0].first, day(2022, 7, 15));
  EXPECT_EQ(std::get<Term>(spikes[0].reason.facts[1].value).key, "quality.minimum");
}

TEST(Quality, ColdThatComesAndStaysIsNoSpike) {
  const Quality quality = examine(climate([](Day& d) {
    if (within(d.date, day(2022, 7, 15), day(2022, 7, 16))) d.min = Temperature::celsius(-19.0);
  }));
  EXPECT_TRUE(found(quality, "quality.spike").empty()) << "the neighbour agrees";
}

TEST(Quality, FahrenheitReadAsCelsius) {
  const auto runs = found(examine(climate([](Day& d) {
                            if (!within(d.date, day(2022, 3, 1), day(2022, 3, 10))) return;
                            d.min = Temperature::celsius(d.min->fahrenheit());
                            d.max = Temperature::celsius(d.max->fahrenheit());
                          })),
                          "quality.read_as_celsius");
  ASSERT_FALSE(runs.empty());
  EXPECT_GE(runs.front().first, day(2022, 3, 1));
  EXPECT_LE(runs.back().last, day(2022, 3, 10));
}

TEST(Quality, CelsiusReadAsFahrenheit) {
  const auto runs = found(examine(climate([](Day& d) {
                            if (!within(d.date, day(2022, 7, 1), day(2022, 7, 10))) return;
                            d.min = Temperature::fahrenheit(d.min->celsius());
                            d.max = Temperature::fahrenheit(d.max->celsius());
                          })),
                          "quality.read_as_fahrenheit");
  ASSERT_FALSE(runs.empty());
  EXPECT_GE(runs.front().first, day(2022, 7, 1));
  EXPECT_LE(runs.back().last, day(2022, 7, 10));
}

}  // namespace
}  // namespace leafturn::weather
