#include "io/zone.hpp"

#include <gtest/gtest.h>

namespace leafturn::io {
namespace {

Instant at(const char* iso) { return *Instant::parse(iso); }

TEST(LoadZone, SummerTimeOfChicago) {
  // US Energy Policy Act of 2005: second Sunday of March to first Sunday of November, 2 a.m. local.
  const auto zone = load_zone("America/Chicago");
  ASSERT_TRUE(zone);
  EXPECT_EQ(zone->name(), "America/Chicago");
  EXPECT_EQ(zone->iso(at("2026-03-08T07:59:59Z")), "2026-03-08T01:59:59-06:00");
  EXPECT_EQ(zone->iso(at("2026-03-08T08:00:00Z")), "2026-03-08T03:00:00-05:00");
  EXPECT_EQ(zone->iso(at("2026-11-01T06:59:59Z")), "2026-11-01T01:59:59-05:00");
  EXPECT_EQ(zone->iso(at("2026-11-01T07:00:00Z")), "2026-11-01T01:00:00-06:00");
  EXPECT_EQ(zone->offset_seconds(at("1970-01-01T00:00Z")), -6 * 3600);
  EXPECT_EQ(zone->offset_seconds(at("2037-07-01T00:00Z")), -5 * 3600);
}

TEST(LoadZone, ZonesOfOtherKinds) {
  ASSERT_TRUE(load_zone("Asia/Kolkata"));
  EXPECT_EQ(load_zone("Asia/Kolkata")->offset_seconds(at("2026-05-31T00:00Z")), 19'800);
  ASSERT_TRUE(load_zone("UTC"));
  EXPECT_EQ(load_zone("UTC")->offset_seconds(at("2026-05-31T00:00Z")), 0);
  ASSERT_TRUE(load_zone("America/Mexico_City"));
  EXPECT_EQ(load_zone("America/Mexico_City")->offset_seconds(at("2026-07-01T00:00Z")), -6 * 3600) << "no summer time since 2022";
  ASSERT_TRUE(load_zone("Etc/GMT+5"));
}

TEST(LoadZone, FixedOffsets) {
  EXPECT_EQ(load_zone("+02:00")->offset_seconds(at("2026-05-31T00:00Z")), 7200);
  EXPECT_EQ(load_zone("-05:30")->offset_seconds(at("2026-05-31T00:00Z")), -19'800);
  EXPECT_EQ(load_zone("Z")->name(), "UTC");
}

TEST(LoadZone, EveryCivilHourOfAYearComesBack) {
  for (const char* name : {"America/Chicago", "Europe/Madrid", "Australia/Lord_Howe", "America/St_Johns", "Pacific/Apia"}) {
    const auto zone = load_zone(name);
    ASSERT_TRUE(zone) << name;
    for (Instant t = at("2025-01-01T00:00Z"); t < at("2026-01-02T00:00Z"); t = t + Duration::minutes(30)) {
      const CivilTime c = zone->civil(t);
      ASSERT_EQ(zone->civil(zone->instant(c)), c) << name << ' ' << c.iso();
    }
  }
}

TEST(LoadZone, UnknownNamesAreRefused) {
  for (const char* bad : {"", "Chicago", "America/Nowhere", "../../etc/passwd", "/etc/localtime", "America/", "+5", "+25:00", "+05:99",
                          "UTC\n", "zone.tab"}) {
    const auto zone = load_zone(bad);
    ASSERT_FALSE(zone) << bad;
    EXPECT_EQ(zone.error().code, "zone.unknown") << bad;
    EXPECT_EQ(zone.error().where.field, "zone");
  }
}

}  // namespace
}  // namespace leafturn::io
