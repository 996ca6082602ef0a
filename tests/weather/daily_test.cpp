#include "core/weather/daily.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace leafturn::weather {
namespace {

Date day(int month, int d) { return *Date::from_ymd(2026, month, d); }
Temperature c(double celsius) { return Temperature::celsius(celsius); }

Day recorded(Date date, double min, double max) {
  Day one;
  one.date = date;
  one.min = c(min);
  one.max = c(max);
  return one;
}

Day missing(Date date) {
  Day one;
  one.date = date;
  return one;
}

DailySeries series(std::vector<Day> days) {
  auto made = DailySeries::from_days(std::move(days));
  EXPECT_TRUE(made) << made.error().code;
  return *made;
}

std::string error_of(std::vector<Day> days) {
  const auto made = DailySeries::from_days(std::move(days));
  return made ? "" : made.error().code;
}

TEST(DailySeries, AnyOrderBecomesConsecutiveDays) {
  const DailySeries s = series({recorded(day(5, 5), 10, 20), recorded(day(5, 1), 8, 18), recorded(day(5, 3), 9, 19)});
  ASSERT_EQ(s.days().size(), 5U);
  for (std::size_t i = 0; i < 5; ++i) EXPECT_EQ(s.days()[i].date, day(5, 1) + Days{static_cast<std::int32_t>(i)});
  EXPECT_FALSE(s.days()[1].complete());
  EXPECT_EQ(s.find(day(5, 3))->max, c(19));
  EXPECT_EQ(s.find(day(4, 30)), nullptr);
  EXPECT_EQ(s.find(day(5, 6)), nullptr);
  ASSERT_NE(s.find(day(5, 2)), nullptr) << "a day inside a gap is there, without its extremes";
}

TEST(DailySeries, RefusesWhatCannotBe) {
  EXPECT_EQ(error_of({}), "weather.empty");
  EXPECT_EQ(error_of({recorded(day(5, 1), 8, 18), recorded(day(5, 1), 8, 18)}), "weather.duplicate_date");
  EXPECT_EQ(error_of({recorded(day(5, 1), 18, 8)}), "weather.min_above_max");
  EXPECT_EQ(error_of({recorded(day(5, 1), 8, 250)}), "weather.impossible");
  EXPECT_EQ(error_of({recorded(day(5, 1), -91, 2)}), "weather.impossible");
  EXPECT_EQ(error_of({recorded(day(5, 1), std::numeric_limits<double>::quiet_NaN(), 2)}), "weather.impossible");
  EXPECT_EQ(error_of({recorded(day(5, 1), 8, 8)}), "") << "a day may have one temperature";
  Day wet = recorded(day(5, 1), 8, 18);
  wet.rain = Length::millimetres(-1);
  EXPECT_EQ(error_of({wet}), "weather.impossible");
  EXPECT_EQ(error_of({recorded(*Date::from_ymd(1026, 5, 1), 8, 18), recorded(day(5, 1), 8, 18)}), "weather.span_too_long");
}

TEST(DailySeries, GapsAreRunsWithoutBothExtremes) {
  Day half = missing(day(5, 6));
  half.max = c(20);
  const DailySeries s =
      series({missing(day(5, 1)), recorded(day(5, 2), 8, 18), recorded(day(5, 5), 8, 18), half, recorded(day(5, 7), 8, 18)});
  const auto gaps = s.gaps();
  ASSERT_EQ(gaps.size(), 3U);
  EXPECT_EQ(gaps[0].first, day(5, 1));
  EXPECT_EQ(gaps[1].first, day(5, 3));
  EXPECT_EQ(gaps[1].last, day(5, 4));
  EXPECT_EQ(gaps[1].length(), Days{2});
  EXPECT_EQ(gaps[2].first, day(5, 6));
}

TEST(DailySeries, BetweenAndUntilAreClipped) {
  const DailySeries s = series({recorded(day(5, 1), 8, 18), recorded(day(5, 4), 8, 18)});
  EXPECT_EQ(s.between(day(4, 1), day(5, 2)).size(), 2U);
  EXPECT_EQ(s.between(day(5, 3), day(6, 30)).size(), 2U);
  EXPECT_TRUE(s.between(day(5, 3), day(5, 2)).empty());
  EXPECT_TRUE(s.between(day(6, 1), day(6, 2)).empty());
  EXPECT_EQ(s.until(day(5, 2)).last(), day(5, 2));
  EXPECT_EQ(s.until(day(7, 1)).days().size(), 4U);
  EXPECT_TRUE(s.until(day(4, 30)).empty());
}

TEST(DailySeries, ContinuedByAForecast) {
  const DailySeries past = series({recorded(day(5, 1), 8, 18), recorded(day(5, 2), 9, 19), recorded(day(5, 3), 9, 21)});
  const DailySeries after = past.continued_by(series({recorded(day(5, 6), 1, 2)}));
  EXPECT_EQ(after.days().size(), 6U);
  EXPECT_EQ(after.gaps().front().length(), Days{2});
  const DailySeries over = past.continued_by(series({recorded(day(5, 2), 1, 2), missing(day(5, 3)), recorded(day(5, 4), 3, 4)}));
  EXPECT_EQ(over.days().size(), 4U);
  EXPECT_EQ(over.find(day(5, 2))->max, c(2));
  EXPECT_EQ(over.find(day(5, 3))->max, c(21)) << "what the later one lacks stays";
  EXPECT_EQ(past.continued_by(DailySeries{}).days().size(), 3U);
  EXPECT_EQ(DailySeries{}.continued_by(past).days().size(), 3U);
  EXPECT_EQ(past.continued_by(series({recorded(day(4, 1), 1, 2)})).first(), day(4, 1))
      << "a later series that begins before replaces everything";
}

TEST(FillGaps, StraightLinesUpToThreeDays) {
  const DailySeries s = fill_gaps(series({recorded(day(5, 1), 8, 16), recorded(day(5, 5), 12, 24), recorded(day(5, 10), 10, 20)}));
  for (int i = 1; i <= 3; ++i) {
    const Day& d = *s.find(day(5, 1 + i));
    EXPECT_TRUE(d.filled);
    EXPECT_NEAR(d.min->celsius(), 8 + i, 1e-12);
    EXPECT_NEAR(d.max->celsius(), 16 + 2 * i, 1e-12);
    EXPECT_FALSE(d.rain) << "rain is never filled";
  }
  EXPECT_FALSE(s.find(day(5, 5))->filled);
  ASSERT_EQ(s.gaps().size(), 1U);
  EXPECT_EQ(s.gaps()[0].length(), Days{4}) << "four days stay a gap";
}

TEST(FillGaps, EndsAndRecordedHalvesStay) {
  Day half = missing(day(5, 3));
  half.max = c(5);
  const DailySeries s =
      fill_gaps(series({missing(day(5, 1)), recorded(day(5, 2), 8, 16), half, recorded(day(5, 4), 10, 18), missing(day(5, 5))}));
  EXPECT_FALSE(s.find(day(5, 1))->complete());
  EXPECT_FALSE(s.find(day(5, 5))->complete());
  EXPECT_EQ(s.find(day(5, 3))->max, c(5)) << "recorded, so it stays";
  EXPECT_EQ(s.find(day(5, 3))->min, c(5)) << "computed, so it may not pass the recorded maximum";
  EXPECT_TRUE(s.find(day(5, 3))->filled);
  EXPECT_TRUE(fill_gaps(DailySeries{}).empty());
}

}  // namespace
}  // namespace leafturn::weather
