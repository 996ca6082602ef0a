#include "app/weather_known.hpp"

#include <gtest/gtest.h>

namespace leafturn::app {
namespace {

Date day(const char* iso) { return Date::parse(iso).value(); }

weather::DailySeries series(Date from, Date to, double base) {
  std::vector<weather::Day> days;
  for (Date d = from; d <= to; d = d + Days{1})
    days.push_back({d, Temperature::celsius(base + d.year() % 10), Temperature::celsius(base + 10 + d.year() % 10), {}, false});
  return weather::DailySeries::from_days(std::move(days)).value();
}

TEST(WeatherKnown, NothingOfTodayOrLaterIsKnown) {
  const Date today = day("2025-06-10");
  const std::vector<WeatherFile> whole{{series(day("2020-01-01"), day("2026-12-31"), 5.0), {}}};
  const std::vector<WeatherFile> until_yesterday{{series(day("2020-01-01"), day("2025-06-09"), 5.0), {}}};
  const auto a = weather_known(whole, today);
  const auto b = weather_known(until_yesterday, today);
  EXPECT_EQ(a.recorded.last(), day("2025-06-09"));
  ASSERT_EQ(a.members.size(), b.members.size());
  for (std::size_t i = 0; i < a.members.size(); ++i)
    for (Date d = today; d <= today + Days{decision::horizon}; d = d + Days{1}) {
      ASSERT_NE(a.members[i].find(d), nullptr);
      EXPECT_EQ(*a.members[i].find(d)->min, *b.members[i].find(d)->min);
    }
}

TEST(WeatherKnown, PastYearsAreTheMembers) {
  const auto k = weather_known({{series(day("2020-01-01"), day("2025-06-09"), 5.0), {}}}, day("2025-06-10"));
  EXPECT_EQ(k.future, decision::Future::past_years);
  ASSERT_EQ(k.members.size(), 5U);
  // Years that were a constant apart, whole years long, are brought to this year's level: 10 °C.
  EXPECT_NEAR(k.members[0].find(day("2025-06-12"))->min->celsius(), 10.0, 0.2);
  EXPECT_NEAR(k.members[4].find(day("2025-06-12"))->min->celsius(), 10.0, 0.2);
}

TEST(WeatherKnown, MembersReachAsFarAsIsAsked) {
  const std::vector<WeatherFile> files{{series(day("2020-01-01"), day("2025-06-09"), 5.0), {}},
                                       {series(day("2025-06-10"), day("2025-06-14"), 20.0), day("2025-06-10")}};
  const auto near = weather_known(files, day("2025-06-10"));
  const auto far = weather_known(files, day("2025-06-10"), 32);
  ASSERT_EQ(far.members.size(), near.members.size());
  for (std::size_t i = 0; i < far.members.size(); ++i) {
    EXPECT_EQ(near.members[i].last(), day("2025-06-22"));
    EXPECT_EQ(far.members[i].last(), day("2025-07-12"));
    for (const auto& d : near.members[i].days()) EXPECT_EQ(d.min, far.members[i].find(d.date)->min) << "further, not otherwise";
  }
}

TEST(WeatherKnown, TwoYearsAreNoClimateAndStayAsTheyWere) {
  const auto k = weather_known({{series(day("2023-01-01"), day("2025-06-09"), 5.0), {}}}, day("2025-06-10"));
  ASSERT_EQ(k.members.size(), 2U);
  EXPECT_EQ(*k.members[0].find(day("2025-06-12"))->min, Temperature::celsius(9.0));  // 2024
  EXPECT_EQ(*k.members[1].find(day("2025-06-12"))->min, Temperature::celsius(8.0));  // 2023
}

TEST(WeatherKnown, YearsAreMatchedToTheEndOfTheForecast) {
  const auto past = series(day("2018-01-01"), day("2025-06-09"), 5.0);
  const auto k = weather_known({{past, {}}, {series(day("2025-06-10"), day("2025-06-14"), 12.0), day("2025-06-10")}}, day("2025-06-10"));
  ASSERT_EQ(k.members.size(), 7U);
  for (const auto& member : k.members) {
    EXPECT_EQ(member.find(day("2025-06-14"))->min->celsius(), 17.0) << "the forecast's own";
    EXPECT_GT(member.find(day("2025-06-15"))->min->celsius(), 14.0) << "its warmth goes on";
  }
}

TEST(WeatherKnown, LatestForecastIssuedByTodayComesFirst) {
  const std::vector<WeatherFile> files{{series(day("2024-01-01"), day("2025-06-09"), 5.0), {}},
                                       {series(day("2025-06-09"), day("2025-06-14"), 20.0), day("2025-06-09")},
                                       {series(day("2025-06-10"), day("2025-06-15"), 25.0), day("2025-06-10")},
                                       {series(day("2025-06-11"), day("2025-06-16"), 30.0), day("2025-06-11")}};
  const auto k = weather_known(files, day("2025-06-10"));
  EXPECT_EQ(k.future, decision::Future::forecast);
  EXPECT_EQ(*k.forecast_last, day("2025-06-15"));
  ASSERT_EQ(k.members.size(), 1U);
  EXPECT_EQ(*k.members[0].find(day("2025-06-15"))->min, Temperature::celsius(30.0));
  EXPECT_EQ(*k.members[0].find(day("2025-06-16"))->min, Temperature::celsius(9.0));
}

TEST(WeatherKnown, ShortRecordRepeatsItsLastFortnight) {
  const auto k = weather_known({{series(day("2025-04-01"), day("2025-06-09"), 5.0), {}}}, day("2025-06-10"));
  EXPECT_EQ(k.future, decision::Future::last_fortnight);
  EXPECT_EQ(k.members.size(), 7U);
}

TEST(WeatherKnown, ForecastThatBeginsLaterLeavesNoHole) {
  const auto k = weather_known(
      {{series(day("2023-01-01"), day("2025-06-09"), 5.0), {}}, {series(day("2025-06-13"), day("2025-06-15"), 20.0), day("2025-06-10")}},
      day("2025-06-10"));
  ASSERT_EQ(k.members.size(), 2U);
  EXPECT_EQ(k.members[0].first(), day("2025-06-10"));
  EXPECT_TRUE(k.members[0].gaps().empty());
  EXPECT_EQ(*k.members[0].find(day("2025-06-11"))->min, Temperature::celsius(9.0));
  EXPECT_EQ(*k.members[0].find(day("2025-06-14"))->min, Temperature::celsius(25.0));
}

TEST(WeatherKnown, ForecastWhollyPastTheHorizonIsNoForecast) {
  const auto k = weather_known(
      {{series(day("2023-01-01"), day("2025-06-09"), 5.0), {}}, {series(day("2025-08-01"), day("2025-08-05"), 20.0), day("2025-06-10")}},
      day("2025-06-10"));
  EXPECT_EQ(k.future, decision::Future::past_years);
  EXPECT_FALSE(k.forecast_last);
}

TEST(WeatherKnown, RecordThatStopsEarlyIsGoneOnWithFromWhereItStops) {
  const auto k = weather_known({{series(day("2023-01-01"), day("2025-05-25"), 5.0), {}}}, day("2025-06-10"));
  ASSERT_EQ(k.members.size(), 2U);
  for (const auto& member : k.members) EXPECT_EQ(member.first(), day("2025-05-26"));
  EXPECT_TRUE(k.recorded.continued_by(k.members[0]).gaps().empty());
  EXPECT_EQ(*k.members[1].find(day("2025-06-01"))->min, Temperature::celsius(8.0));  // 2023
}

TEST(WeatherKnown, LastDayWithOneExtremeOnlyIsGuessedNotLost) {
  std::vector<weather::Day> days;
  for (Date d = day("2024-01-01"); d <= day("2025-06-09"); d = d + Days{1})
    days.push_back({d, Temperature::celsius(5), Temperature::celsius(15), {}, false});
  days.back().max.reset();
  const auto k = weather_known({{weather::DailySeries::from_days(days).value(), {}}}, day("2025-06-10"));
  EXPECT_EQ(k.recorded.last(), day("2025-06-08"));
  EXPECT_TRUE(k.recorded.continued_by(k.members[0]).gaps().empty());
}

TEST(WeatherKnown, LeapDayTakesTheTwentyEighthOfOtherYears) {
  const auto k = weather_known({{series(day("2022-01-01"), day("2024-02-24"), 5.0), {}}}, day("2024-02-25"));
  ASSERT_EQ(k.members.size(), 2U);
  EXPECT_EQ(*k.members[0].find(day("2024-02-29"))->min, Temperature::celsius(8.0));
}

TEST(WeatherKnown, NoWeatherIsNoWeather) {
  const auto k = weather_known({}, day("2025-06-10"));
  EXPECT_TRUE(k.recorded.empty());
  EXPECT_TRUE(k.members.empty());
}

TEST(WeatherKnown, LaterFileReplacesDaysItHasRecorded) {
  const auto k =
      weather_known({{series(day("2025-04-01"), day("2025-06-09"), 5.0), {}}, {series(day("2025-06-01"), day("2025-06-05"), 12.0), {}}},
                    day("2025-06-10"));
  EXPECT_EQ(*k.recorded.find(day("2025-06-03"))->min, Temperature::celsius(17.0));
  EXPECT_EQ(*k.recorded.find(day("2025-06-07"))->min, Temperature::celsius(10.0));
}

}  // namespace
}  // namespace leafturn::app
