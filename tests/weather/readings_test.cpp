// Hourly readings: what is refused, what is completed, and what days they make.
#include "core/weather/readings.hpp"

#include <gtest/gtest.h>

#include "core/weather/humidity.hpp"

namespace leafturn::weather {
namespace {

Instant at(const char* iso) { return *Instant::parse(iso); }

HourlyReading warm(Instant when, double celsius) {
  HourlyReading r;
  r.at = when;
  r.temperature = Temperature::celsius(celsius);
  return r;
}

std::vector<HourlyReading> a_day(const char* from, int hours = 24) {
  std::vector<HourlyReading> out;
  for (int h = 0; h < hours; ++h) out.push_back(warm(at(from) + Duration{h * 3600LL * 1000000LL}, 10.0 + h));
  return out;
}

TEST(Readings, are_sorted_and_cut_to_the_hour) {
  const auto two = HourlyReadings::from_readings({warm(at("2026-05-01T07:51Z"), 8), warm(at("2026-05-01T06:10Z"), 7)});
  ASSERT_TRUE(two);
  EXPECT_EQ(two->rows()[0].at, at("2026-05-01T06:00Z"));
  ASSERT_NE(two->find(at("2026-05-01T07:59Z")), nullptr);
  EXPECT_EQ(two->find(at("2026-05-01T07:00Z"))->temperature->celsius(), 8.0);
  EXPECT_EQ(two->find(at("2026-05-01T08:00Z")), nullptr);
  EXPECT_EQ(HourlyReadings::from_readings({warm(at("1969-12-31T23:30Z"), 1)})->rows()[0].at, at("1969-12-31T23:00Z"));
}

TEST(Readings, refuse_what_cannot_be) {
  EXPECT_EQ(HourlyReadings::from_readings({}).error().code, "weather.empty");
  const auto twice = HourlyReadings::from_readings({warm(at("2026-05-01T06:10Z"), 7), warm(at("2026-05-01T06:50Z"), 7)});
  EXPECT_EQ(twice.error().code, "weather.duplicate_hour");
  const auto refused = [](auto change) {
    HourlyReading r = warm(at("2026-05-01T06:00Z"), 20);
    change(r);
    const auto read = HourlyReadings::from_readings({r});
    return read ? std::string("read") : read.error().where.field;
  };
  EXPECT_EQ(refused([](auto& r) { r.temperature = Temperature::celsius(68); }), "temperature");
  EXPECT_EQ(refused([](auto& r) { r.humidity = 1.2; }), "humidity");
  EXPECT_EQ(refused([](auto& r) { r.cloud = -0.1; }), "cloud");
  EXPECT_EQ(refused([](auto& r) { r.wind = Speed::metres_per_second(200); }), "wind");
  EXPECT_EQ(refused([](auto& r) { r.rain = Length::millimetres(-1); }), "rain");
  EXPECT_EQ(refused([](auto& r) { r.pressure = Pressure::hectopascals(30); }), "pressure");
  EXPECT_EQ(refused([](auto& r) { r.dew_point = Temperature::celsius(25); }), "dew_point");
  const auto millennium = HourlyReadings::from_readings({warm(at("1026-05-01T06:00Z"), 7), warm(at("2026-05-01T06:00Z"), 7)});
  ASSERT_FALSE(millennium);
  EXPECT_EQ(millennium.error().code, "weather.span_too_long");
}

TEST(Readings, what_is_computed_keeps_the_law_that_readings_keep) {
  for (double humidity = 1.0; humidity > 1e-12; humidity /= 3.0) {
    HourlyReading r = warm(at("2026-05-01T06:00Z"), 20);
    r.humidity = humidity;
    const auto read = HourlyReadings::from_readings({r});
    ASSERT_TRUE(read);
    EXPECT_EQ(impossible_field(read->rows()[0]), nullptr) << humidity;
    EXPECT_EQ(read->rows()[0].dew_point.has_value(), humidity > 1e-5) << humidity;
  }
}

TEST(Readings, complete_humidity_from_dew_point_and_back) {
  HourlyReading r = warm(at("2026-05-01T06:00Z"), 20);
  r.dew_point = Temperature::celsius(9.255175);
  EXPECT_NEAR(*HourlyReadings::from_readings({r})->rows()[0].humidity, 0.5, 1e-6);
  r.dew_point.reset();
  r.humidity = 0.5;
  EXPECT_NEAR(HourlyReadings::from_readings({r})->rows()[0].dew_point->celsius(), 9.255175, 1e-5);
  r.humidity.reset();
  r.dew_point = Temperature::celsius(20.4);  // instruments differ
  const auto read = HourlyReadings::from_readings({r});
  EXPECT_EQ(read->rows()[0].dew_point->celsius(), 20.0);
  EXPECT_EQ(*read->rows()[0].humidity, 1.0);
}

TEST(Readings, make_days_of_the_stations_standard_time) {
  const auto read = HourlyReadings::from_readings(a_day("2026-05-01T06:00Z"));
  const DailySeries local = read->days(-6 * 3600);
  ASSERT_EQ(local.days().size(), 1U);
  EXPECT_EQ(local.first().iso(), "2026-05-01");
  EXPECT_EQ(local.days()[0].min->celsius(), 10.0);
  EXPECT_EQ(local.days()[0].max->celsius(), 33.0);
  EXPECT_FALSE(local.days()[0].rain);
  const DailySeries utc = read->days(0);
  ASSERT_EQ(utc.days().size(), 2U);
  EXPECT_FALSE(utc.days()[0].complete()) << "18 of 24 hours";
  EXPECT_TRUE(HourlyReadings{}.days(0).empty());
}

TEST(Readings, later_ones_go_on_from_earlier_ones) {
  const auto one = HourlyReadings::from_readings(a_day("2026-05-01T00:00Z"));
  const auto other = HourlyReadings::from_readings(a_day("2026-05-01T12:00Z"));
  const HourlyReadings both = one->continued_by(*other);
  EXPECT_EQ(both.rows().size(), 36U);
  EXPECT_EQ(both.find(at("2026-05-01T12:00Z"))->temperature->celsius(), 10.0);
  EXPECT_EQ(one->continued_by({}).rows().size(), 24U);
}

}  // namespace
}  // namespace leafturn::weather
