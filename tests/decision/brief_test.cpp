#include "tests/decision/support.hpp"

#include <algorithm>
#include <utility>

namespace leafturn::decision::test_garden {
namespace {

TEST(Brief, FirstFiveMinutesNeedOnlyAPlaceAndCrops) {
  Sketch s("2025-06-10T06:00Z");
  for (const char* name : {"1", "2", "3", "4"}) s.bed(name);
  s.planting("kale", "1", "BRSOC");
  s.planting("potato", "2", "SOLTU");
  s.planting("mustard", "3", "BRSJU");
  const Brief b = s.brief();
  EXPECT_EQ(b.walk.size(), 3U);
  for (const Visit& v : b.walk) {
    EXPECT_GT(v.plants, 0);
    EXPECT_GT(v.minutes, 0);
    EXPECT_FALSE(v.place.empty());
  }
  EXPECT_TRUE(says(b.notes, "note.no_weather"));
  for (const PestOutlook& p : bed_of(b, "1").pests) EXPECT_TRUE(p.timing_unknown) << p.pest;
  ASSERT_EQ(b.leave.size(), 1U);
  EXPECT_EQ(b.leave.front().bed, "4");
}

TEST(Brief, ManyLargeCaterpillarsAreActedOnByHandFirst) {
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.count("2025-06-09T18:00Z", "1", "PIERRA", "larva", 20, 30);
  s.card(full_card);
  const Brief b = s.brief();
  const BedBrief& bed = bed_of(b, "1");
  EXPECT_EQ(bed.urgency, Urgency::act);
  EXPECT_EQ(bed.headline.code, "headline.over_now");
  EXPECT_TRUE(says(bed.act, "do.hand-pick"));
  EXPECT_FALSE(says(bed.act, "do.consider_spray")) << "twenty plants are picked over in minutes";
  ASSERT_FALSE(bed.options.empty());
  EXPECT_LE(bed.options.front().order, 1);
  EXPECT_EQ(bed.options.back().means, "Test Spin");
  EXPECT_EQ(bed.options.back().judgement->verdict, label::Verdict::allowed);
  for (const Option& o : bed.options) EXPECT_FALSE(o.source.citation.empty()) << o.means;
}

TEST(Brief, LongHandWorkNamesASprayThatTheCardAllows) {
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC", 600);
  s.count("2025-06-09T18:00Z", "1", "PIERRA", "larva", 20, 60);
  s.card(full_card);
  const Brief with_card = s.brief();
  EXPECT_TRUE(says(bed_of(with_card, "1").act, "do.consider_spray"));
}

TEST(Brief, CleanCountIsLeftAlone) {
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  for (const char* pest : {"PIERRA", "MURGHI"})
    for (const char* stage : {"egg", "larva", "nymph", "adult"})
      if (std::string(pest) == "PIERRA" ? std::string(stage) != "nymph" : std::string(stage) != "larva")
        s.count("2025-06-09T18:00Z", "1", pest, stage, 40, 0);
  const Brief b = s.brief();
  EXPECT_EQ(bed_of(b, "1").urgency, Urgency::wait);
  EXPECT_TRUE(b.walk.empty());
  ASSERT_EQ(b.leave.size(), 1U);
}

TEST(Brief, CountedEggsAreLarvaeLater) {
  // At a steady 20 °C cabbageworm eggs of a clean stand last constant/(20 − 10) days; a week later most have hatched.
  Sketch s("2025-06-17T06:00Z");
  s.weather(20, 20);
  s.bed("1");
  s.planting("cabbage", "1", "BRSOL");
  s.count("2025-06-10T06:00Z", "1", "PIERRA", "egg", 40, 40);
  const BedBrief bed = bed_of(s.brief(), "1");
  const auto p = std::find_if(bed.pests.begin(), bed.pests.end(), [](const auto& o) { return o.pest == "imported-cabbageworm"; });
  ASSERT_NE(p, bed.pests.end());
  ASSERT_TRUE(p->density);
  EXPECT_EQ(*p->counted_stage, "larva");
  EXPECT_GT(p->density->mean, 0.9);
  EXPECT_LT(p->density->mean, 1.02);
  EXPECT_GT(*p->p_over, 0.9);
}

TEST(Brief, SprayHoldsPickingAndEntryUntilTheCardsTimesEnd) {
  Sketch s("2025-06-10T06:00Z");
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  const Digest card = s.card(full_card);
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", card);
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_FALSE(bed.harvest.clear);
  ASSERT_TRUE(bed.harvest.from);
  EXPECT_EQ(bed.harvest.from->iso_utc(), "2025-06-12T20:00:00Z");
  ASSERT_TRUE(bed.entry.from);
  EXPECT_EQ(bed.entry.from->iso_utc(), "2025-06-10T08:00:00Z");
}

TEST(Brief, NobodyIsSentWhereNobodyMayGo) {
  Sketch s("2025-06-10T06:00Z");
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card));
  EXPECT_TRUE(s.brief().walk.empty());
}

TEST(Brief, NobodyIsToldToWorkWhereNobodyMayGo) {
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.count("2025-06-09T18:00Z", "1", "PIERRA", "larva", 20, 30);
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card));
  const BedBrief bed = bed_of(s.brief(), "1");
  ASSERT_EQ(bed.act.size(), 1U);
  EXPECT_EQ(bed.act.front().code, "do.not_before");
  EXPECT_TRUE(bed.options.empty());
}

TEST(Brief, SprayWithoutACardIsNeverClear) {
  Sketch s("2025-06-30T06:00Z");
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.spray("2025-06-09T20:00Z", "1", "Unknown Stuff", std::nullopt);
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_FALSE(bed.harvest.clear);
  EXPECT_FALSE(bed.harvest.from);
  EXPECT_EQ(bed.harvest.why.code, "clear.no_card");
}

TEST(Brief, FieldNotCopiedIsNeverClear) {
  std::string card = full_card;
  card.erase(card.find("pre_harvest_days"), std::string("pre_harvest_days = 3\n").size());
  Sketch s("2025-07-30T06:00Z");
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(card));
  const BedBrief bed = bed_of(s.brief(), "1");
  EXPECT_FALSE(bed.harvest.clear);
  EXPECT_EQ(bed.harvest.why.code, "clear.harvest_not_copied");
}

TEST(Brief, OutsideTheLabelLocksUntilReleased) {
  Sketch s("2025-08-30T06:00Z");
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.spray("2025-06-09T20:00Z", "1", "Test Spin", s.card(full_card), true);
  const BedBrief locked = bed_of(s.brief(), "1");
  EXPECT_EQ(locked.urgency, Urgency::lock);
  EXPECT_FALSE(locked.harvest.clear);
  EXPECT_FALSE(locked.harvest.from);
  s.say("2025-06-20T12:00Z", garden::BedReleased{garden::BedReleased::Basis::authority, "1", "written answer of 19 June"});
  const BedBrief free = bed_of(s.brief(), "1");
  EXPECT_NE(free.urgency, Urgency::lock);
}

TEST(Brief, PlannedSprayLocksTheBedUntilMadeOrCalledOff) {
  Sketch s("2025-06-10T06:00Z");
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  const Digest card = s.card(full_card);
  const Id plan = s.spray("2025-06-09T20:00Z", "1", "Test Spin", card, false, garden::Application::State::planned);
  EXPECT_FALSE(bed_of(s.brief(), "1").entry.clear);
  garden::Application off;
  off.state = garden::Application::State::cancelled;
  off.bed = "1";
  off.product = "Test Spin";
  off.plan = plan;
  s.say("2025-06-09T21:00Z", off);
  EXPECT_TRUE(bed_of(s.brief(), "1").entry.clear);
  EXPECT_TRUE(bed_of(s.brief(), "1").harvest.clear);
}

TEST(Brief, CardThatCannotSayIsListedWithItsFieldAndNeverOffered) {
  std::string card = full_card;
  card.erase(card.find("max_applications"), std::string("max_applications = 3\n").size());
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.count("2025-06-09T18:00Z", "1", "PIERRA", "larva", 20, 30);
  s.card(card);
  const BedBrief bed = bed_of(s.brief(), "1");
  for (const Option& o : bed.options) EXPECT_FALSE(o.card) << o.means;
  ASSERT_EQ(bed.refused.size(), 1U);
  EXPECT_EQ(bed.refused.front().judgement->verdict, label::Verdict::unknown);
  EXPECT_NE(bed.refused.front().judgement->outcomes.front().card_field.find("max_applications"), std::string::npos);
}

TEST(Brief, OldCropWithItsBugsOnNamesTheBedsAtRiskNearestFirst) {
  Sketch s("2025-06-20T06:00Z");
  s.weather(16, 28);
  for (const auto& [name, x] : std::vector<std::pair<const char*, double>>{{"1", 0.0}, {"2", 30.0}, {"3", 5.0}, {"4", 2.0}}) s.bed(name, x);
  garden::PlantingSown old;
  old.planting = "mustard";
  old.bed = "1";
  old.crop = "BRSJU";
  old.plants = 30;
  old.set_out = day("2025-04-01");
  old.last_harvest = day("2025-06-10");
  s.say("2025-04-01T00:00Z", old);
  s.planting("mustard-2", "2", "BRSJU");
  s.planting("mustard-3", "3", "BRSJU");
  s.planting("bean", "4", "PHSVX");
  s.count("2025-06-19T07:00Z", "1", "MURGHI", "adult", 20, 14);
  const BedBrief bed = bed_of(s.brief(), "1");
  ASSERT_TRUE(says(bed.act, "do.old_crop"));
  for (const Fact& f : bed.act.front().facts)
    if (f.name == "beds") {
      EXPECT_EQ(std::get<std::string>(f.value), "3, 2, 4");
    }
}

TEST(Brief, LastResortHostIsLeftAloneWhileBetterOnesStand) {
  Sketch s("2025-06-20T06:00Z");
  s.weather(16, 28);
  s.bed("1");
  s.bed("2");
  s.planting("mustard", "1", "BRSJU");
  s.planting("bean", "2", "PHSVX");
  EXPECT_EQ(bed_of(s.brief(), "2").urgency, Urgency::wait);
  s.say("2025-06-19T07:00Z", garden::PlantingRemoved{"mustard"});
  EXPECT_EQ(bed_of(s.brief(), "2").urgency, Urgency::look) << "the cabbage family is over: the bugs move on";
}

TEST(Brief, PestThatTheWinterKilledHasNoCalendarWithoutAFind) {
  // DiMeglio et al. 2016: air below about −15 °C gave very high mortality of harlequin bugs.
  Sketch s("2025-06-10T06:00Z");
  s.weather(-18, 24);
  s.bed("1");
  s.bed("2");
  s.planting("mustard", "1", "BRSJU");
  s.planting("collard", "2", "BRSOA");
  const BedBrief bed = bed_of(s.brief(), "1");
  const auto harlequin = [](const BedBrief& b) {
    return std::find_if(b.pests.begin(), b.pests.end(), [](const auto& p) { return p.pest == "harlequin-bug"; });
  };
  ASSERT_TRUE(harlequin(bed)->timing_unknown);
  EXPECT_EQ(harlequin(bed)->timing_unknown->code, "timing.winter_kill");
  EXPECT_TRUE(harlequin(bed)->stages.empty());
  s.count("2025-06-01T07:00Z", "2", "MURGHI", "adult", 20, 3);
  const BedBrief after_find = bed_of(s.brief(), "1");
  EXPECT_FALSE(harlequin(after_find)->timing_unknown);
  EXPECT_FALSE(harlequin(after_find)->stages.empty());
}

TEST(Brief, BasisIsTimingEverywhere) {
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  for (const PestOutlook& p : bed_of(s.brief(), "1").pests) EXPECT_EQ(p.basis, Basis::timing);
}

TEST(Brief, LaterEventsDoNotReachBack) {
  Sketch s("2025-06-10T06:00Z");
  s.weather(14, 24);
  s.bed("1");
  s.planting("kale", "1", "BRSOC");
  s.count("2025-06-11T18:00Z", "1", "PIERRA", "larva", 20, 60);
  for (const PestOutlook& p : bed_of(s.brief(), "1").pests) EXPECT_FALSE(p.density) << p.pest;
}

}  // namespace
}  // namespace leafturn::decision::test_garden
