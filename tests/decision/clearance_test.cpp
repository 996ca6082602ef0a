#include "core/decision/clearance.hpp"

#include "tests/decision/support.hpp"

namespace leafturn::decision {
namespace {

using namespace test_garden;
using State = garden::Application::State;

std::string with(std::string card, const std::string& old, const std::string& fresh) {
  const auto at = card.find(old);
  EXPECT_NE(at, std::string::npos);
  return card.replace(at, old.size(), fresh);
}

Sketch kale(const char* now) {
  Sketch s(now);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  return s;
}

void pull(Sketch& s, const char* when) { s.say(when, garden::WorkDone{garden::WorkDone::Kind::pull, "1", ""}); }

TEST(Clearance, PullingTheCropDoesNotEndReentry) {
  Sketch s = kale("2025-06-10T06:00Z");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card));
  pull(s, "2025-06-09T21:00Z");
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_FALSE(bed.entry.clear);
  EXPECT_EQ(bed.entry.from->iso_utc(), "2025-06-10T08:00:00Z");
  EXPECT_FALSE(bed.harvest.clear) << "what was pulled isn't clean either";
}

TEST(Clearance, NextCropInheritsWhatRunsAndNothingMore) {
  for (const auto& [now, held] : {std::pair{"2025-06-12T06:00Z", true}, std::pair{"2025-06-13T06:00Z", false}}) {
    Sketch s = kale(now);
    s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card));
    pull(s, "2025-06-10T21:00Z");
    garden::PlantingSown lettuce;
    lettuce.planting = "lettuce";
    lettuce.bed = "1";
    lettuce.crop = "LACSA";
    lettuce.set_out = day("2025-06-11");
    s.say("2025-06-11T12:00Z", lettuce);
    EXPECT_EQ(bed_of(s.brief(), "1").harvest.clear, !held) << now;
  }
}

TEST(Clearance, EntryNotCopiedOutlivesTheCrop) {
  Sketch s = kale("2025-06-20T06:00Z");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(with(full_card, "reentry_hours = 12\n", "")));
  pull(s, "2025-06-10T21:00Z");
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_FALSE(bed.entry.clear);
  EXPECT_EQ(bed.entry.why.code, "clear.entry_not_copied");
}

TEST(Clearance, UntilDryIsOverByNoonAfterADewyNightAndHarvestGoesWithIt) {
  const std::string card =
      with(with(full_card, "reentry_hours = 12", "reentry_hours = \"until-dry\""), "pre_harvest_days = 3", "pre_harvest_days = 0");
  for (const auto& [now, clear] : {std::pair{"2025-06-10T09:00Z", false}, std::pair{"2025-06-10T12:00Z", true}}) {
    Sketch s = kale(now);
    s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(card));
    const BedBrief bed = bed_of(s.brief(), "1");
    EXPECT_EQ(bed.entry.clear, clear) << now;
    EXPECT_EQ(bed.harvest.clear, clear) << now;
    if (!clear) {
      EXPECT_EQ(bed.harvest.why.code, "clear.harvest_until_dry");
    }
  }
}

TEST(Clearance, HoursOfOneUseAreNotLostBesideUntilDryOfAnother) {
  std::string card = with(full_card, "reentry_hours = 12", "reentry_hours = 48");
  card +=
      "[[use]]\ncrops = [\"BRSOC\"]\nrate = \"1 floz/gal\"\npre_harvest_days = 0\nreentry_hours = \"until-dry\"\ninterval_days = "
      "7\nmax_applications = 3\n";
  Sketch s = kale("2025-06-10T20:00Z");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(card));
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_FALSE(bed.entry.clear);
  EXPECT_EQ(bed.entry.from->iso_utc(), "2025-06-11T20:00:00Z");
}

TEST(Clearance, ReleaseLiftsTheLockNotTheCardsTimes) {
  Sketch s = kale("2025-06-10T06:00Z");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card), true);
  s.say("2025-06-09T22:00Z", garden::BedReleased{garden::BedReleased::Basis::authority, "1", "written answer"});
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_NE(bed.urgency, Urgency::lock);
  EXPECT_EQ(bed.entry.from->iso_utc(), "2025-06-10T08:00:00Z");
  EXPECT_EQ(bed.harvest.from->iso_utc(), "2025-06-12T20:00:00Z");
}

TEST(Clearance, DestroyedCropLeavesEntryUnknown) {
  Sketch s = kale("2025-06-12T06:00Z");
  s.spray("2025-06-09T20:00Z", "1", "Unknown Stuff", std::nullopt, true);
  s.say("2025-06-10T22:00Z", garden::BedReleased{garden::BedReleased::Basis::destroyed, "1", "burnt"});
  EXPECT_EQ(bed_of(s.brief(), "1").entry.why.code, "clear.no_card");
  s.say("2025-06-11T22:00Z", garden::BedReleased{garden::BedReleased::Basis::authority, "1", "written answer"});
  EXPECT_TRUE(bed_of(s.brief(), "1").entry.clear);
}

TEST(Clearance, BareSoilSprayedIsNotOpenToEntry) {
  Sketch s("2025-06-10T06:00Z");
  s.bed("1");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card), true);
  EXPECT_FALSE(bed_of(s.brief(), "1").entry.clear);
}

}  // namespace
}  // namespace leafturn::decision
