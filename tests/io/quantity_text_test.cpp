// Quantities and times as people type them.
#include "io/quantity_text.hpp"

#include <gtest/gtest.h>

#include "io/time_text.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::io {
namespace {

template <class T>
std::string code(const Result<T>& result) {
  return result ? "" : result.error().code;
}

TEST(QuantityText, one_unit_system_equals_the_other) {
  const auto row = [](const char* what, double expected, const char* unit) {
    return test::Row{"io.quantity",           what, "NIST Special Publication 811, appendix B", "memory", test::From::memory, expected,
                     1e-9 * (1.0 + expected), unit};
  };
  test::check_row(row("50F", 10.0, "°C"), parse_temperature("50F", "t")->celsius());
  test::check_row(row("283.15 K", 10.0, "°C"), parse_temperature("283.15 K", "t")->celsius());
  test::check_row(row("1acre", 4046.8564224, "m²"), parse_area("1acre", "a")->square_metres());
  test::check_row(row("2 gal", 7.570823568, "L"), parse_volume("2 gal", "v")->litres());
  test::check_row(row("20in", 0.508, "m"), parse_length("20in", "l")->metres());
  test::check_row(row("3mph", 1.34112, "m/s"), parse_speed("3mph", "s")->metres_per_second());
  test::check_row(row("82kPa", 820.0, "hPa"), parse_pressure("82kPa", "p")->hectopascals());
  test::check_row(row("4lb", 1814.36948, "g"), parse_mass("4lb", "m")->grams());
}

TEST(QuantityText, signs_blanks_and_cases_are_read) {
  EXPECT_DOUBLE_EQ(parse_temperature("-3.5 °C", "t")->celsius(), -3.5);
  EXPECT_DOUBLE_EQ(parse_temperature("+5c", "t")->celsius(), 5.0);
  EXPECT_DOUBLE_EQ(parse_area("400 ft²", "a")->square_feet(), 400.0);
  EXPECT_DOUBLE_EQ(parse_pressure("24.3INHG", "p")->inches_of_mercury(), 24.3);
  EXPECT_DOUBLE_EQ(parse_elevation("-10m", "e")->metres(), -10.0);
  EXPECT_DOUBLE_EQ(parse_longitude("105.18W", "l")->degrees(), -105.18);
  EXPECT_DOUBLE_EQ(parse_latitude("-43.5", "l")->degrees(), -43.5);
}

TEST(QuantityText, what_is_no_quantity_is_refused_by_name) {
  EXPECT_EQ(code(parse_temperature("", "t")), "quantity.empty");
  EXPECT_EQ(code(parse_temperature("10", "t")), "quantity.no_unit");
  EXPECT_EQ(code(parse_temperature("10R", "t")), "quantity.unknown_unit");
  EXPECT_EQ(code(parse_temperature("-300C", "t")), "quantity.impossible");
  EXPECT_EQ(code(parse_area("-1m2", "a")), "quantity.impossible");
  for (const char* text : {"warm", "nan C", "infC", "inf", "--5C", "1,5C", "1..5C", "C", ".", "-"})
    EXPECT_EQ(code(parse_temperature(text, "t")), "quantity.no_number") << text;
  EXPECT_EQ(code(parse_latitude("91", "l")), "quantity.angle_outside");
  EXPECT_EQ(code(parse_latitude("-43S", "l")), "quantity.angle_unreadable");
  EXPECT_EQ(code(parse_latitude("43W", "l")), "quantity.angle_unreadable");
  for (const char* text : {"", "1.5", "x", "-1", "99999999999"})
    EXPECT_EQ(code(parse_whole(text, "n", 0, 1000)), "quantity.whole_number") << text;
  const auto named = parse_area("3", "--area");
  EXPECT_EQ(named.error().where.field, "--area");
}

TEST(TimeText, offsets_are_kept) {
  EXPECT_EQ(parse_offset_time("2003-10-17T12:30:30-07:00", "t")->offset_seconds, -7 * 3600);
  EXPECT_EQ(parse_offset_time("2003-10-17T12:30Z", "t")->offset_seconds, 0);
  EXPECT_EQ(parse_offset_time("2026-05-31T06:30+05:45", "t")->offset_seconds, 5 * 3600 + 45 * 60);
  EXPECT_EQ(code(parse_offset_time("2003-10-17T12:30", "t")), "time.no_offset");
  EXPECT_EQ(code(parse_offset_time("noon", "t")), "time.unreadable");
  EXPECT_EQ(code(parse_day("2026-02-30", "d")), "time.day_unreadable");
}

TEST(TimeText, bare_times_are_the_zones) {
  const Zone zone = Zone::fixed(-5 * 3600);
  EXPECT_EQ(parse_time("2026-06-11T07:30", zone, "t")->iso_utc(), "2026-06-11T12:30:00Z");
  EXPECT_EQ(parse_time("2026-06-11T07:30Z", zone, "t")->iso_utc(), "2026-06-11T07:30:00Z");
  EXPECT_TRUE(parse_wall_time("2026-06-11", zone, "t")->day_only);
  EXPECT_EQ(parse_wall_time("2026-06-11T12:00Z", zone, "t")->time.iso(), "2026-06-11T07:00:00");
}

}  // namespace
}  // namespace leafturn::io
