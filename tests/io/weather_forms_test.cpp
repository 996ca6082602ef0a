// Forecasts as JSON and loggers' own files: what is read from the forms, and what is said about it.
#include <gtest/gtest.h>

#include <algorithm>

#include "io/weather_file.hpp"

namespace leafturn::io {
namespace {

WeatherContents good(std::string_view bytes, const WeatherReading& reading = {}) {
  auto contents = read_weather(bytes, "w", reading);
  EXPECT_TRUE(contents) << contents.error().code << " line " << contents.error().where.line << " " << contents.error().where.field;
  return contents ? *contents : WeatherContents{};
}

bool has_note(const WeatherContents& contents, std::string_view code) {
  return std::any_of(contents.notes.begin(), contents.notes.end(), [&](const Reason& r) { return r.code == code; });
}

Date day(int y, int m, int d) { return *Date::from_ymd(y, m, d); }
std::string two(int n) { return (n < 10 ? "0" : "") + std::to_string(n); }

// ---- forecasts ----

// 48 hours from midnight at UTC−5, in intervals of 3 h: 10 °C, but 21 °C in the third interval of the first day, at 06:00–09:00.
std::string grid(const char* unit = "wmoUnit:degC") {
  std::string values;
  Instant at = *Instant::parse("2026-05-01T05:00Z");
  for (int i = 0; i < 16; ++i, at = at + Duration::hours(3))
    values += std::string(i > 0 ? "," : "") + R"({"validTime":")" + at.iso_utc() + R"(/PT3H","value":)" + (i == 2 ? "21" : "10") + "}";
  return std::string(R"({"properties":{"updateTime":"2026-05-01T02:30:00+00:00","gridId":"MKX","gridX":88,"gridY":64,)") +
         R"("temperature":{"uom":")" + unit + R"(","values":[)" + values + R"(]},)" +
         R"("quantitativePrecipitation":{"uom":"wmoUnit:mm","values":[{"validTime":"2026-05-01T05:00:00+00:00/P1DT12H","value":36}]}}})";
}

TEST(GridForecast, ValuesHoldForTheirIntervalAndDaysAreTheStations) {
  WeatherReading reading;
  reading.offset_seconds = -5 * 3600;
  const WeatherContents contents = good(grid(), reading);
  EXPECT_EQ(contents.kind, WeatherKind::forecast_grid);
  EXPECT_EQ(contents.station.id, "MKX/88,64");
  const auto days = contents.series.days();
  ASSERT_EQ(days.size(), 2U);
  EXPECT_EQ(days[0].date, day(2026, 5, 1));
  EXPECT_NEAR(days[0].max->celsius(), 21.0, 1e-12);
  EXPECT_NEAR(days[0].min->celsius(), 10.0, 1e-12);
  EXPECT_NEAR(days[1].max->celsius(), 10.0, 1e-12);
  EXPECT_NEAR(days[0].rain->millimetres(), 24.0, 1e-9) << "36 mm over 36 hours, evenly";
  EXPECT_FALSE(days[1].rain) << "only twelve of its hours are told";
  ASSERT_TRUE(contents.issued_at);
  EXPECT_EQ(contents.issued_at->iso_utc(), "2026-05-01T02:30:00Z");
  EXPECT_EQ(contents.issued, day(2026, 4, 30)) << "half past nine in the evening there";
}

TEST(GridForecast, EveryQuantityByTheHour) {
  std::string text = grid();
  text.insert(text.find("\"temperature\""),
              R"("windSpeed":{"uom":"wmoUnit:km_h-1","values":[{"validTime":"2026-05-01T05:00:00+00:00/PT2H","value":18}]},)"
              R"("relativeHumidity":{"uom":"wmoUnit:percent","values":[{"validTime":"2026-05-01T06:00:00+00:00/PT1H","value":80}]},)");
  const WeatherContents contents = good(text);
  ASSERT_TRUE(contents.hourly);
  EXPECT_EQ(contents.hourly->rows().size(), 48U);
  const auto* six = contents.hourly->find(*Instant::parse("2026-05-01T06:30Z"));
  ASSERT_NE(six, nullptr);
  EXPECT_NEAR(six->wind->metres_per_second(), 5.0, 1e-12);
  EXPECT_NEAR(*six->humidity, 0.8, 1e-12);
  EXPECT_NEAR(six->rain->millimetres(), 1.0, 1e-9);
  const auto* seven = contents.hourly->find(*Instant::parse("2026-05-01T07:00Z"));
  ASSERT_NE(seven, nullptr);
  EXPECT_FALSE(seven->wind);
  EXPECT_FALSE(seven->humidity);
}

TEST(GridForecast, FahrenheitIsFahrenheit) {
  WeatherReading reading;
  reading.offset_seconds = -5 * 3600;
  EXPECT_NEAR(good(grid("wmoUnit:degF"), reading).series.days()[0].max->fahrenheit(), 21.0, 1e-9);
}

TEST(GridForecast, WithoutAnOffsetDaysAreThoseOfUtcAndThisIsSaid) {
  const WeatherContents contents = good(grid());
  EXPECT_TRUE(has_note(contents, "weather.hourly_days_utc"));
  EXPECT_FALSE(contents.series.find(day(2026, 5, 1))->complete()) << "nineteen hours are no day";
}

std::string arrays(const std::string& more, const std::string& zone = "") {
  std::string times, values, rain;
  for (int h = 0; h < 24; ++h) {
    const std::string comma = h > 0 ? "," : "";
    times += comma + "\"2026-05-01T" + two(h) + ":00" + zone + "\"";
    values += comma + std::to_string(50 + h);
    rain += comma + "0.1";
  }
  return "{" + more + R"("hourly":{"time":[)" + times + R"(],"temperature_2m":[)" + values + R"(],"precipitation":[)" + rain +
         R"(]},"hourly_units":{"temperature_2m":"°F","precipitation":"inch"}})";
}

TEST(ArrayForecast, UnitsAreThoseItNames) {
  const WeatherContents contents = good(arrays(R"("issued":"2026-04-30","latitude":43.0,"elevation":200,)"));
  EXPECT_EQ(contents.kind, WeatherKind::forecast_arrays);
  ASSERT_EQ(contents.series.days().size(), 1U);
  EXPECT_NEAR(contents.series.days()[0].min->fahrenheit(), 50.0, 1e-9);
  EXPECT_NEAR(contents.series.days()[0].max->fahrenheit(), 73.0, 1e-9);
  EXPECT_NEAR(contents.series.days()[0].rain->inches(), 2.4, 1e-9);
  EXPECT_EQ(contents.issued, day(2026, 4, 30));
  EXPECT_NEAR(contents.station.latitude->degrees(), 43.0, 1e-12);
  EXPECT_FALSE(has_note(contents, "weather.hourly_days_utc")) << "bare times are the station's own";
}

TEST(ArrayForecast, ItsOwnClockIsTurnedIntoTheStations) {
  // A clock on summer time (UTC−4) for a station on UTC−5: its first hour is the evening before.
  WeatherReading reading;
  reading.offset_seconds = -5 * 3600;
  const WeatherContents contents = good(arrays(R"("utc_offset_seconds":-14400,)"), reading);
  ASSERT_EQ(contents.series.days().size(), 2U);
  EXPECT_EQ(contents.series.first(), day(2026, 4, 30));
  EXPECT_NEAR(contents.series.days()[1].min->fahrenheit(), 51.0, 1e-9);
  const WeatherContents own = good(arrays(R"("utc_offset_seconds":-14400,)"));
  EXPECT_EQ(own.series.days().size(), 1U);
  EXPECT_TRUE(has_note(own, "weather.hourly_days_at_offset"));
}

// ---- loggers ----

/// One reading each `step` minutes over a day: 10 °C, 20.5 °C in the afternoon at three.
template <class Write>
std::string over_a_day(int step, const Write& write) {
  std::string text;
  for (int m = 0; m < 1440; m += step) text += write(m / 60, m % 60, m / 60 == 15) + "\n";
  return text;
}

void expect_the_day(const WeatherContents& contents) {
  EXPECT_EQ(contents.kind, WeatherKind::logger);
  ASSERT_EQ(contents.series.days().size(), 1U);
  EXPECT_EQ(contents.series.first(), day(2026, 5, 31));
  ASSERT_TRUE(contents.series.days()[0].complete());
  EXPECT_NEAR(contents.series.days()[0].min->celsius(), 10.0, 1e-9);
  EXPECT_NEAR(contents.series.days()[0].max->celsius(), 20.5, 1e-9);
}

TEST(Logger, TitleSemicolonsAndDecimalCommas) {
  expect_the_day(good("Plot Title: north bed\nserial 1234\n#;Fecha y hora;Temperatura (°C)\n" + over_a_day(15, [](int h, int m, bool hot) {
                        return "1;31.05.2026 " + two(h) + ":" + two(m) + (hot ? ";20,5" : ";10,0");
                      })));
}

TEST(Logger, DateAndTimeInTwoColumnsWithAmAndPm) {
  expect_the_day(good("Date,Time,\"Temp, °F\"\n" + over_a_day(60, [](int h, int m, bool hot) {
                        return "05/31/2026," + std::to_string(h % 12 == 0 ? 12 : h % 12) + ":" + two(m) + (h < 12 ? " AM," : " PM,") +
                               (hot ? "68.9" : "50");
                      })));
}

TEST(Logger, DayFirstWhenADateTellsSo) {
  expect_the_day(good("Timestamp\tTemp (°C)\n" + over_a_day(1, [](int h, int m, bool hot) {
                        return "31/05/2026 " + two(h) + ":" + two(m) + ":30\t" + (hot ? "20.5" : "10");
                      })));
}

TEST(Logger, ThreeHoursApartIsReadAndSaid) {
  const WeatherContents contents = good("Date Time,Temp (°C)\n" + over_a_day(180, [](int h, int m, bool hot) {
                                          return "2026-05-31 " + two(h) + ":" + two(m) + (hot ? ",20.5" : ",10");
                                        }));
  expect_the_day(contents);
  EXPECT_TRUE(has_note(contents, "weather.sparse_extremes"));
}

TEST(Logger, NewestFirstIsTurnedRound) {
  std::string rows;
  for (int h = 23; h >= 0; --h) rows += "2026-05-31 " + two(h) + ":00," + (h == 15 ? "20.5" : "10") + "\n";
  const WeatherContents contents = good("Date Time,Temp (°C)\n" + rows);
  expect_the_day(contents);
  EXPECT_FALSE(has_note(contents, "weather.clock_set_back"));
}

TEST(Logger, TheHourThatSummerTimeRepeatsIsKept) {
  std::string rows;
  const auto hour = [&](int h, const char* value) {
    for (int m = 0; m < 60; m += 15) rows += "2026-11-01 " + two(h) + ":" + two(m) + "," + value + "\n";
  };
  hour(0, "10");
  hour(1, "9");
  hour(1, "8");
  for (int h = 2; h < 24; ++h) hour(h, "11");
  const WeatherContents contents = good("Date Time,Temp (°C)\n" + rows);
  EXPECT_TRUE(has_note(contents, "weather.clock_set_back"));
  EXPECT_NEAR(contents.series.days()[0].min->celsius(), 8.0, 1e-12);
}

TEST(Logger, EqualRowsAreReadOnce) {
  const WeatherContents contents = good("Date Time,Temp (°C)\n" + over_a_day(60, [](int h, int m, bool hot) {
                                          const std::string row = "2026-05-31 " + two(h) + ":" + two(m) + (hot ? ",20.5" : ",10");
                                          return h == 4 ? row + "\n" + row : row;
                                        }));
  expect_the_day(contents);
  EXPECT_TRUE(has_note(contents, "weather.equal_rows"));
}

}  // namespace
}  // namespace leafturn::io
