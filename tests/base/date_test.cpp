#include "core/base/date.hpp"

#include <gtest/gtest.h>

namespace leafturn {
namespace {

Date day(int y, int m, int d) { return *Date::from_ymd(y, m, d); }
Instant at(const char* iso) { return *Instant::parse(iso); }
CivilTime wall(const char* iso) { return *CivilTime::parse(iso); }

// A hand-made zone: standard −5 h, summer −4 h, from 2026-03-08 07:00 to 2026-11-01 06:00 UTC.
Zone hand_made() {
  return Zone{"Hand/Made",
              {{at("2025-11-02T06:00Z"), -5 * 3600}, {at("2026-03-08T07:00Z"), -4 * 3600}, {at("2026-11-01T06:00Z"), -5 * 3600}}};
}

TEST(Date, LeapYears) {
  EXPECT_TRUE(Date::from_ymd(2024, 2, 29));
  EXPECT_TRUE(Date::from_ymd(2000, 2, 29));
  EXPECT_FALSE(Date::from_ymd(1900, 2, 29));
  EXPECT_FALSE(Date::from_ymd(2025, 2, 29));
  EXPECT_EQ(day(2024, 12, 31).day_of_year(), 366);
  EXPECT_EQ(day(2025, 12, 31).day_of_year(), 365);
  EXPECT_EQ(day(2025, 3, 1) - day(2024, 2, 29), Days{366});
}

TEST(Date, SerialNumbersAndWeekdays) {
  EXPECT_EQ(Date{}.iso(), "1970-01-01");
  EXPECT_EQ(Date{}.weekday(), 3) << "a Thursday";
  EXPECT_EQ(day(1969, 12, 31).serial(), -1);
  EXPECT_EQ(day(1969, 12, 29).weekday(), 0) << "a Monday";
  EXPECT_EQ(day(2000, 1, 1).serial(), 10957);
  for (int serial = -800'000; serial < 800'000; serial += 37) {
    const Date d = Date::from_serial(serial);
    if (d.year() < 1 || d.year() > 9999) continue;
    EXPECT_EQ(Date::from_ymd(d.year(), d.month(), d.day()), d);
    EXPECT_EQ(Date::parse(d.iso()), d);
  }
}

TEST(Date, ParseTakesIsoOnly) {
  EXPECT_EQ(Date::parse("2026-05-31"), day(2026, 5, 31));
  for (const char* bad :
       {"", "2026-5-31", "26-05-31", "2026-05-32", "2026-13-01", "2026-00-10", "2026-05-00", "2025-02-29", "2026/05/31", "20260531",
        "2026-05-31 ", " 2026-05-31", "2026-05-31T00:00", "+2026-05-31", "-026-05-31", "2026-05-3x", "0000-01-01"})
    EXPECT_FALSE(Date::parse(bad)) << bad;
}

TEST(Instant, ParseNeedsAnOffset) {
  EXPECT_EQ(at("2026-05-31T06:30-05:00"), at("2026-05-31T11:30:00Z"));
  EXPECT_EQ(at("2026-05-31 06:30:15+0530"), at("2026-05-31T01:00:15Z"));
  EXPECT_EQ(at("2026-05-31T06:30+02"), at("2026-05-31T04:30Z"));
  EXPECT_EQ(at("1969-12-31T23:59:59Z").unix_microseconds(), -1'000'000);
  for (const char* bad :
       {"", "2026-05-31", "2026-05-31T06:30", "2026-05-31T24:00Z", "2026-05-31T06:60Z", "2026-05-31T06:30:60Z", "2026-05-31T06:30:1Z",
        "2026-05-31T06:30:15.Z", "2026-05-31T06:30+5", "2026-05-31T06:30+05:", "2026-05-31T06:30+05:3", "2026-05-31T06:30+19:00",
        "2026-05-31T06:30+05:60", "2026-05-31T06:30Zulu", "2026-02-30T06:30Z", "2026-05-31T6:30Z"})
    EXPECT_FALSE(Instant::parse(bad)) << bad;
}

TEST(Instant, TextComesBack) {
  for (const char* text : {"2026-05-31T11:30:00Z", "1969-07-20T20:17:40.25Z", "2026-05-31T11:30:00.000001Z"})
    EXPECT_EQ(at(text).iso_utc(), text);
}

TEST(CivilTime, ParseRefusesOffsets) {
  EXPECT_EQ(wall("2026-05-31").second_of_day, 0);
  EXPECT_EQ(wall("2026-05-31T06:30").second_of_day, 6 * 3600 + 30 * 60);
  EXPECT_EQ(wall("2026-05-31 06:30:15").iso(), "2026-05-31T06:30:15");
  for (const char* bad :
       {"", "06:30", "2026-05-31T", "2026-05-31T06:30Z", "2026-05-31T06:30-05:00", "2026-05-31T25:00", "2026-05-31x06:30"})
    EXPECT_FALSE(CivilTime::parse(bad)) << bad;
}

TEST(Zone, UtcAndFixedOffsets) {
  const Instant t = at("2026-05-31T23:30Z");
  EXPECT_EQ(Zone{}.civil(t).iso(), "2026-05-31T23:30:00");
  const Zone india = Zone::fixed(5 * 3600 + 1800);
  EXPECT_EQ(india.name(), "+05:30");
  EXPECT_EQ(india.civil(t).iso(), "2026-06-01T05:00:00");
  EXPECT_EQ(india.iso(t), "2026-06-01T05:00:00+05:30");
  EXPECT_EQ(Zone::fixed(-3 * 3600 - 1800).iso(t), "2026-05-31T20:00:00-03:30");
}

TEST(Zone, EveryCivilTimeThatExistsComesBack) {
  const Zone zone = hand_made();
  for (Instant t = at("2026-01-01T00:00Z"); t < at("2026-12-31T00:00Z"); t = t + Duration::minutes(17)) {
    const CivilTime c = zone.civil(t);
    EXPECT_EQ(zone.civil(zone.instant(c)), c) << c.iso();
  }
}

TEST(Zone, TheSkippedHourIsReadWithTheOffsetBefore) {
  const Zone zone = hand_made();
  EXPECT_EQ(zone.instant(wall("2026-03-08T01:59:59")), at("2026-03-08T06:59:59Z"));
  EXPECT_EQ(zone.instant(wall("2026-03-08T02:30")), at("2026-03-08T07:30Z"));
  EXPECT_EQ(zone.civil(zone.instant(wall("2026-03-08T02:30"))).iso(), "2026-03-08T03:30:00");
  EXPECT_EQ(zone.instant(wall("2026-03-08T03:00")), at("2026-03-08T07:00Z"));
}

TEST(Zone, TheRepeatedHourIsReadAsTheFirst) {
  const Zone zone = hand_made();
  EXPECT_EQ(zone.instant(wall("2026-11-01T00:59:59")), at("2026-11-01T04:59:59Z"));
  EXPECT_EQ(zone.instant(wall("2026-11-01T01:30")), at("2026-11-01T05:30Z"));
  EXPECT_EQ(zone.instant(wall("2026-11-01T02:00")), at("2026-11-01T07:00Z"));
}

TEST(Zone, DaysOfSummerTimeAreShortAndLong) {
  const Zone zone = hand_made();
  EXPECT_EQ(zone.start_of(day(2026, 3, 9)) - zone.start_of(day(2026, 3, 8)), Duration::hours(23));
  EXPECT_EQ(zone.start_of(day(2026, 11, 2)) - zone.start_of(day(2026, 11, 1)), Duration::hours(25));
}

TEST(Zone, BeforeTheFirstChangeItsOffsetHolds) { EXPECT_EQ(hand_made().offset_seconds(at("1990-01-01T00:00Z")), -5 * 3600); }

}  // namespace
}  // namespace leafturn
