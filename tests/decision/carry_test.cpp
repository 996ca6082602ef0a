// What a count says later, and what was done about it since.

#include "tests/decision/support.hpp"

#include <algorithm>

#include "core/decision/carry.hpp"

namespace leafturn::decision::test_garden {
namespace {

const PestOutlook& pest_of(const BedBrief& bed, const std::string& pest) {
  const auto p = std::find_if(bed.pests.begin(), bed.pests.end(), [&](const auto& o) { return o.pest == pest; });
  if (p == bed.pests.end()) ADD_FAILURE() << "no " << pest;
  return *p;
}

Sketch kale(const char* now, double min_c = 20, double max_c = 20) {
  Sketch s(now);
  s.weather(min_c, max_c);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  return s;
}

TEST(Carry, HandPickingTakesItsShareOnceThoughItNamesTwoStages) {
  // Common practice: 50–90 % of those seen, nymphs and adults; 0.3 of (20 + ½)/20 is left when nobody ages out of the count.
  Sketch s = kale("2025-06-10T18:00Z", 5, 5);
  s.count("2025-06-10T07:00Z", "1", "MURGHI", "feeding", 20, 20);
  s.say("2025-06-10T08:00Z", garden::WorkDone{garden::WorkDone::Kind::hand_pick, "1", {}});
  const BedBrief bed = bed_of(s.brief(), "1");
  const PestOutlook& p = pest_of(bed, "harlequin-bug");
  ASSERT_TRUE(p.density);
  EXPECT_NEAR(p.density->mean, 0.3 * 20.5 / 20.0, 0.005);
}

TEST(Carry, WorkBeforeTheCountChangesNothing) {
  Sketch s = kale("2025-06-10T18:00Z", 5, 5);
  s.say("2025-06-10T06:00Z", garden::WorkDone{garden::WorkDone::Kind::hand_pick, "1", {}});
  s.count("2025-06-10T07:00Z", "1", "MURGHI", "feeding", 20, 20);
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_NEAR(pest_of(bed, "harlequin-bug").density->mean, 20.5 / 20.0, 0.005);
}

TEST(Carry, PickingFindsTheLarvaeThatCountedEggsHaveBecome) {
  // At 20 °C eggs hatch within five days; picked over a week after the count, nearly all are larvae by then.
  const auto larvae = [](bool picked) {
    Sketch s = kale("2025-06-18T06:00Z");
    s.count("2025-06-10T06:00Z", "1", "PIERRA", "egg", 40, 40);
    if (picked) s.say("2025-06-17T06:00Z", garden::WorkDone{garden::WorkDone::Kind::hand_pick, "1", {}});
    const BedBrief bed = bed_of(s.brief(), "1");
    return pest_of(bed, "imported-cabbageworm").density->mean;
  };
  const double left = larvae(true) / larvae(false);
  EXPECT_GT(left, 0.29);
  EXPECT_LT(left, 0.35);
}

TEST(Carry, CrushingEggsDoesNotTouchTheLarvaeTheyWere) {
  const auto larvae = [](bool crushed) {
    Sketch s("2025-06-25T06:00Z");
    s.weather(22, 22);
    s.bed("1");
    s.planting("potato", "1", "SOLTU");
    s.count("2025-06-10T06:00Z", "1", "LPTNDE", "egg-mass", 20, 10);
    if (crushed) s.say("2025-06-24T06:00Z", garden::WorkDone{garden::WorkDone::Kind::crush_eggs, "1", {}});
    const BedBrief bed = bed_of(s.brief(), "1");
    return pest_of(bed, "colorado-potato-beetle").density_soon->mean;
  };
  // Two weeks at 22 °C: no eggs are left to crush. Where in its stage each was is forgotten at the work, hence the tolerance.
  EXPECT_NEAR(larvae(true) / larvae(false), 1.0, 0.05);
}

TEST(Carry, CountIsSpreadOverTheInstarsOfItsOwnDay) {
  const pest::Dossier& dossier = *library().pest("PIERRA");
  WeatherKnown known;
  known.recorded = steady(day("2025-01-01"), day("2025-06-09"), 14, 24);
  known.members = {steady(day("2025-06-10"), day("2025-06-22"), 14, 24)};
  const Air air = air_of(known, {Angle::degrees(43.0), Angle::degrees(-88.0), {}}, day("2025-06-10"));
  const PestTiming t = timing(dossier, air, {});
  EXPECT_NE(t.present_on(day("2025-05-23")), t.present);
  const auto larvae = pest::stages_for(dossier, "larva").stages;
  std::vector<double> start(dossier.stages.size(), 0.0);
  double all = 0.0;
  for (const std::size_t i : larvae) all += t.present_on(day("2025-05-23"))[i];
  ASSERT_GT(all, 0.05);
  for (const std::size_t i : larvae) start[i] = t.present_on(day("2025-05-23"))[i] / all;
  const auto table = phenology::age_on(dossier, air.members.front(), {day("2025-05-24"), 6 * 3600}, start, 16);
  double left = 0.0;
  for (const std::size_t i : larvae) left += table.back()[i];
  const garden::Dated<garden::CountTaken> taken{};
  const CountSeen count{&taken, {day("2025-05-24"), 6 * 3600}, larvae, 1.0, 40, 40};
  EXPECT_NEAR(carry(dossier, air, t, {count}, {}, larvae).days[0].mean, left * 40.5 / 40.0, 1e-9);
}

TEST(Brief, WatchingForButterfliesSaysNothingAboutCaterpillars) {
  Sketch s = kale("2025-06-10T06:00Z", 14, 24);
  s.count("2025-06-09T18:00Z", "1", "PIERRA", "adult", 40, 0);
  const BedBrief bed = bed_of(s.brief(), "1");
  const PestOutlook& p = pest_of(bed, "imported-cabbageworm");
  EXPECT_FALSE(p.density);
  EXPECT_FALSE(p.p_over);
  EXPECT_EQ(bed.urgency, Urgency::look);
  EXPECT_NE(bed.headline.code, "headline.counted_low");
}

TEST(Brief, SomeButterfliesSendPeopleToLookNotToASentenceWithoutFigures) {
  Sketch s = kale("2025-06-10T06:00Z", 14, 24);
  s.count("2025-06-09T18:00Z", "1", "PIERRA", "adult", 40, 6);
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_EQ(bed.urgency, Urgency::look);
  EXPECT_TRUE(says(bed.act, "do.look") || says(bed.act, "do.look_several"));
}

TEST(Brief, NobodyIsSentToLookForWhatHasNotComeOutYet) {
  Sketch s("2025-02-10T06:00Z");
  s.weather(-5, 2);
  s.bed("1");
  garden::PlantingSown over_winter;
  over_winter.planting = "potato";
  over_winter.bed = "1";
  over_winter.crop = "SOLTU";
  over_winter.set_out = day("2025-01-05");
  s.say("2025-01-05T00:00Z", over_winter);
  const Brief b = s.brief();
  ASSERT_TRUE(bed_of(b, "1").pests.front().timing_unknown);
  EXPECT_EQ(bed_of(b, "1").pests.front().timing_unknown->code, "biofix.not_yet");
  EXPECT_EQ(bed_of(b, "1").urgency, Urgency::wait);
  EXPECT_TRUE(b.walk.empty());
}

TEST(Brief, NothingFoundOnTooFewPlantsIsNeverPickedOrSprayed) {
  // Half a mass of thirty eggs on one plant cannot be ruled out; that is a reason to count more plants, not to act.
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("potato", "1", "SOLTU");
  s.count("2025-06-09T18:00Z", "1", "LPTNDE", "egg-mass", 1, 0);
  s.card(full_card);
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_EQ(bed.urgency, Urgency::look);
  EXPECT_EQ(bed.headline.code, "headline.near");
  EXPECT_TRUE(says(bed.act, "do.look") || says(bed.act, "do.look_several"));
  EXPECT_TRUE(bed.options.empty());
  EXPECT_TRUE(bed.refused.empty());
}

TEST(Brief, GardenWithoutAPlaceHasNoDatesHoweverMuchWeather) {
  Sketch s("2025-06-10T06:00Z", false);
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  const Brief b = s.brief();
  EXPECT_TRUE(says(b.notes, "note.not_described"));
  for (const PestOutlook& p : bed_of(b, "1").pests) {
    ASSERT_TRUE(p.timing_unknown) << p.pest;
    EXPECT_TRUE(p.stages.empty()) << p.pest;
  }
}

TEST(Brief, BugFoundBeforeItsCalendarBeginsIt) {
  const auto stages = [](bool found) {
    Sketch s("2025-04-20T06:00Z");
    s.weather(4, 16);  // mean 10 °C: the rule of thumb waits for a week of 12
    s.bed("1");
    s.planting("mustard", "1", "BRSJU");
    if (found) s.count("2025-04-08T08:00Z", "1", "MURGHI", "adult", 20, 3);
    return pest_of(bed_of(s.brief(), "1"), "harlequin-bug").stages;
  };
  EXPECT_TRUE(stages(false).empty());
  const auto begun = stages(true);
  ASSERT_FALSE(begun.empty());
  EXPECT_EQ(begun.front().stage, "adult-new");
  EXPECT_EQ(begun.front().mid, day("2025-04-08"));
}

TEST(Brief, NobodyTurnsLeavesInTheFrost) {
  Sketch s("2025-12-01T06:00Z");
  s.weather(12, 24);
  s.weather_from("2025-10-20", -6, 3);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  const Brief b = s.brief();
  EXPECT_EQ(bed_of(b, "1").urgency, Urgency::wait);
  EXPECT_EQ(bed_of(b, "1").headline.code, "headline.quiet");
  EXPECT_TRUE(b.walk.empty());
}

TEST(Brief, HatchThatShortDaysCutShortIsOverWhenNobodyLaysAnyMore) {
  // Potato beetles of late summer go to rest instead of laying: their second generation never becomes whole, and in autumn nothing hatches.
  Sketch s("2025-10-10T06:00Z");
  s.weather(12, 26);
  s.bed("1");
  s.planting("potato", "1", "SOLTU");
  const BedBrief bed = bed_of(s.brief(), "1");
  const PestOutlook& p = pest_of(bed, "colorado-potato-beetle");
  EXPECT_FALSE(says(p.why, "outlook.hatch_on"));
  EXPECT_NE(bed.headline.code, "headline.look_hatching");
}

TEST(Brief, SouthOfTheEquatorNothingIsDated) {
  Sketch s = kale("2025-06-10T06:00Z", 14, 24);
  garden::GardenDescribed g;
  g.name = "south";
  g.latitude = Angle::degrees(-35.0);
  g.longitude = Angle::degrees(149.0);
  g.zone = "UTC";
  s.say("2025-01-03T00:00Z", g);
  const Brief b = s.brief();
  for (const PestOutlook& p : bed_of(b, "1").pests) {
    ASSERT_TRUE(p.timing_unknown) << p.pest;
    EXPECT_EQ(p.timing_unknown->code, "biofix.southern");
    EXPECT_TRUE(p.stages.empty());
  }
  EXPECT_EQ(bed_of(b, "1").urgency, Urgency::look);
}

TEST(Brief, AThresholdInEggMassesIsHeldAgainstMassesNotEggs) {
  pest::Library other = library();
  for (pest::Dossier& d : other.pests) {
    if (d.eppo != "LPTNDE") continue;
    pest::Threshold masses;
    masses.stage = "egg-mass";
    masses.value.value = 4.0;
    d.thresholds = {masses};
  }
  Sketch sketch("2025-06-10T06:00Z");
  sketch.knows(other);
  sketch.bed("1");
  sketch.planting("p", "1", "SOLTU");
  sketch.weather(12, 24);
  sketch.count("2025-06-09T18:00Z", "1", "LPTNDE", "egg-mass", 20, 20);
  const BedBrief bed = bed_of(sketch.brief(), "1");
  const auto found =
      std::find_if(bed.pests.begin(), bed.pests.end(), [](const PestOutlook& p) { return p.pest == "colorado-potato-beetle"; });
  ASSERT_NE(found, bed.pests.end());
  const PestOutlook& beetle = *found;
  ASSERT_TRUE(beetle.density);
  EXPECT_NEAR(beetle.density->mean, 1.0, 0.3) << "one mass a plant, not some thirty eggs";
  EXPECT_EQ(*beetle.counted_stage, "egg-mass");
  EXPECT_LT(*beetle.p_over, 0.05);
}

}  // namespace
}  // namespace leafturn::decision::test_garden
