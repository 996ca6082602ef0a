// Single hours of a table: units, several rows in an hour, and a year of a real station.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/weather/humidity.hpp"
#include "io/weather_csv.hpp"
#include "tests/io/weather_reading.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

using test::check_row;
using test::From;

void count_row(const char* id, const std::string& what, const char* source, double expected, double got) {
  check_row({std::string("weather.file.") + id, what, source, "derived", From::independent, expected, 0.0, ""}, got);
}

TEST(WeatherHours, NewYorkByTheHour) {
  const auto path = test::shared_data("nyc-hourly-2013.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  WeatherReading reading;
  reading.units = UnitsChoice::us;
  reading.offset_seconds = -5 * 3600;
  const auto file = read_weather_csv(test::read_file(*path), "nyc.csv", reading);
  ASSERT_TRUE(file);
  ASSERT_TRUE(file->hourly);
  const char* const isd = "NOAA Integrated Surface Database hourly data, LGA 2013";
  count_row("nyc.hours", "New York 2013: hours in the file", isd, 8706, static_cast<double>(file->hourly->rows().size()));
  EXPECT_FALSE(has_note(*file, "weather.values_left_out"));
  EXPECT_FALSE(has_note(*file, "weather.rain_running_total")) << "one row an hour";

  const auto* hot = file->hourly->find(*Instant::parse("2013-07-18T18:00Z"));
  ASSERT_NE(hot, nullptr);
  EXPECT_NEAR(hot->temperature->fahrenheit(), 96.08, 1e-9);
  EXPECT_NEAR(hot->dew_point->fahrenheit(), 66.02, 1e-9);
  EXPECT_NEAR(*hot->humidity, 0.3749, 1e-12);
  EXPECT_NEAR(hot->wind_from->degrees(), 310.0, 1e-12);
  EXPECT_NEAR(hot->wind->miles_per_hour(), 6.90468, 1e-9);
  EXPECT_FALSE(hot->gust);
  EXPECT_EQ(hot->rain->inches(), 0.0);
  EXPECT_NEAR(hot->pressure->hectopascals(), 1015.3, 1e-9);
  const auto* wet = file->hourly->find(*Instant::parse("2013-06-07T22:00Z"));
  ASSERT_NE(wet, nullptr);
  EXPECT_NEAR(wet->rain->inches(), 0.06, 1e-9);
  EXPECT_NEAR(wet->gust->miles_per_hour(), 37.97574, 1e-9);
  const auto* squall = file->hourly->find(*Instant::parse("2013-01-31T09:00Z"));
  ASSERT_NE(squall, nullptr);
  EXPECT_FALSE(squall->pressure);

  int hours = 0, close = 0;
  for (const auto& row : file->hourly->rows()) {
    ++hours;
    close += std::abs(weather::dew_point(*row.temperature, *row.humidity).fahrenheit() - row.dew_point->fahrenheit()) <= 0.6 ? 1 : 0;
  }
  test::check_row_between({"humidity.dew_point.nyc", "New York 2013: hours whose dew point from temperature and humidity is within 0.6 °F",
                           isd, "seen", From::independent, 0.0, 0.0, "of 1"},
                          0.95, 1.0, static_cast<double>(close) / hours);

  // Days of New York standard time, from the hours and from the rows: the same.
  const auto days = file->hourly->days(-5 * 3600);
  count_row("nyc.days", "New York 2013: days of standard time", isd, 364, static_cast<double>(days.days().size()));
  EXPECT_EQ(days.first(), day(2013, 1, 1));
  check_row({"weather.file.nyc.wettest", "New York 2013-06-07: rain of the day, the wettest", isd, "derived", From::independent, 3.32, 1e-9,
             "in"},
            days.find(day(2013, 6, 7))->rain->inches());
  for (const auto& d : days.days()) {
    const auto* same = file->series.find(d.date);
    ASSERT_NE(same, nullptr);
    EXPECT_EQ(d.max, same->max) << d.date.iso();
    EXPECT_EQ(d.min, same->min) << d.date.iso();
    EXPECT_EQ(d.rain, same->rain) << d.date.iso();
  }
}

// ---- rows of less than an hour, invented ----

TEST(WeatherHours, SeveralRowsInAnHourMakeOneReading) {
  const WeatherContents file = good(
      "time,temp_c,dewp_c,wind_kmh,wind_dir_deg,gust_kmh,rain_mm,pressure_hpa\n"
      "2026-05-01T06:51Z,14,8,18,200,40,2.5,1010\n"
      "2026-05-01T06:10Z,12,9,36,90,72,1.0,1012\n"
      "2026-05-01T06:30Z,15,NA,9,180,NA,1.5,NA\n"
      "2026-05-01T07:00Z,16,NA,NA,NA,NA,NA,NA\n" +
      [] {
        std::string more;
        for (int h = 8; h < 24; ++h)
          more += "2026-05-01T" + std::string(h < 10 ? "0" : "") + std::to_string(h) + ":00Z,10,5,1,1,1,0,1000\n";
        for (int h = 0; h < 6; ++h) more += "2026-05-01T0" + std::to_string(h) + ":00Z,10,5,1,1,1,0,1000\n";
        return more;
      }());
  ASSERT_TRUE(file.hourly);
  EXPECT_EQ(file.hourly->rows().size(), 24U);
  const auto* six = file.hourly->find(*Instant::parse("2026-05-01T06:00Z"));
  ASSERT_NE(six, nullptr);
  EXPECT_NEAR(six->temperature->celsius(), 14.0, 1e-12) << "the last by time, not by row";
  EXPECT_NEAR(six->dew_point->celsius(), 8.0, 1e-12);
  EXPECT_NEAR(six->wind->kilometres_per_hour(), 18.0, 1e-9);
  EXPECT_NEAR(six->wind_from->degrees(), 200.0, 1e-12);
  EXPECT_NEAR(six->gust->kilometres_per_hour(), 72.0, 1e-9) << "the greatest";
  EXPECT_NEAR(six->rain->millimetres(), 2.5, 1e-12) << "a running total: not 5.0";
  EXPECT_NEAR(six->pressure->hectopascals(), 1010.0, 1e-9);
  EXPECT_TRUE(has_note(file, "weather.rain_running_total"));
  EXPECT_NEAR(file.series.days()[0].rain->millimetres(), 2.5, 1e-12);
  EXPECT_NEAR(file.series.days()[0].max->celsius(), 16.0, 1e-12);
  EXPECT_NEAR(file.series.days()[0].min->celsius(), 10.0, 1e-12);
}

// A whole day with `rest` behind the temperature of each row and `first` behind that of the first.
std::string a_day_of(const std::string& header, const std::string& first, const std::string& rest, const char* zone = "Z") {
  std::string text = header + "\n";
  for (int h = 0; h < 24; ++h)
    text += "2026-05-01T" + std::string(h < 10 ? "0" : "") + std::to_string(h) + ":00" + zone + "," + std::to_string(10 + h % 7) +
            (h == 0 ? first : rest) + "\n";
  return text;
}

TEST(WeatherHours, UnitsByEndingOrByWordNeverGuessed) {
  const auto first = [](const WeatherContents& file) { return file.hourly ? file.hourly->rows()[0] : weather::HourlyReading{}; };
  const std::string bare = a_day_of("time,temp,dewp,rh,wind,wind_gust,wind_dir,pressure", ",5,50,10,20,90,1010", ",5,50,10,20,90,1010");
  const auto si = first(good(bare, UnitsChoice::si));
  EXPECT_NEAR(si.wind->metres_per_second(), 10.0, 1e-12);
  EXPECT_NEAR(si.gust->metres_per_second(), 20.0, 1e-12);
  EXPECT_NEAR(*si.humidity, 0.5, 1e-12);
  EXPECT_NEAR(si.dew_point->celsius(), 5.0, 1e-12);
  EXPECT_NEAR(si.pressure->hectopascals(), 1010.0, 1e-12);
  EXPECT_NEAR(first(good(bare, UnitsChoice::us)).wind->miles_per_hour(), 10.0, 1e-12);
  const WeatherContents only_temperatures = good(bare, UnitsChoice::celsius);
  EXPECT_TRUE(has_note(only_temperatures, "weather.unit_unknown"));
  EXPECT_TRUE(first(only_temperatures).dew_point) << "C speaks of every temperature";
  EXPECT_FALSE(first(only_temperatures).wind);
  EXPECT_FALSE(first(only_temperatures).pressure);
  const auto named = first(good(a_day_of("time,temp_c,RH (%),Wind (m/s),gust_kt,pressure_inhg", ",40,3,10,29.92", ",40,3,10,29.92")));
  EXPECT_NEAR(*named.humidity, 0.4, 1e-12);
  EXPECT_NEAR(named.wind->metres_per_second(), 3.0, 1e-12);
  EXPECT_NEAR(named.gust->kilometres_per_hour(), 18.52, 1e-9);
  EXPECT_NEAR(named.pressure->inches_of_mercury(), 29.92, 1e-9);
}

TEST(WeatherHours, WhatCannotBeIsLeftOutAndCounted) {
  const WeatherContents file = good(a_day_of("time,temp_c,dew_point_c,wind_mph", ",40,1048", ",5,north"));
  ASSERT_TRUE(file.hourly);
  EXPECT_FALSE(file.hourly->rows()[0].dew_point) << "30 K above the temperature";
  EXPECT_FALSE(file.hourly->rows()[0].wind) << "1048 mph";
  EXPECT_FALSE(file.hourly->rows()[1].wind) << "'north' isn't a number";
  EXPECT_TRUE(file.hourly->rows()[1].dew_point);
  std::int64_t winds = 0;
  for (const Reason& note : file.notes)
    if (note.code == "weather.values_left_out" && std::get<std::string>(note.facts[0].value) == "wind_mph")
      winds = std::get<std::int64_t>(note.facts[1].value);
  EXPECT_EQ(winds, 24);
}

TEST(WeatherHours, BareTimesNeedTheZone) {
  const std::string text = a_day_of("time,temp_c", "", "", "");
  const WeatherContents without = good(text);
  EXPECT_FALSE(without.hourly);
  EXPECT_TRUE(has_note(without, "weather.hours_not_placed"));
  WeatherReading reading;
  reading.offset_seconds = -6 * 3600;
  const auto with = read_weather_csv(text, "w.csv", reading);
  ASSERT_TRUE(with && with->hourly);
  EXPECT_EQ(with->hourly->rows()[0].at, *Instant::parse("2026-05-01T06:00Z"));
  EXPECT_EQ(with->series.first(), day(2026, 5, 1));
}

}  // namespace
}  // namespace leafturn::io
