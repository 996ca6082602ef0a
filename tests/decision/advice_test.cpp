// What is done today, on timing: the threshold that fits, the means that works, and what comes after a means that didn't.

#include "core/decision/advice.hpp"

#include <gtest/gtest.h>

#include "tests/decision/support.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::decision {
namespace {

using test_garden::day;
using test_garden::Sketch;

const char* card_text = R"([card]
product = "Test Spin"
registration = "TEST-1"
setting = "both"
copied_by = "a"
copied_on = 2025-01-02
[[active]]
name = "spinosad"
content = "10 g/L"
mode_of_action = "5"
[[use]]
crops = ["BRSOC"]
rate = { min = "1 floz/gal", max = "2 floz/gal" }
pre_harvest_days = 1
reentry_hours = 4
interval_days = 7
max_applications = "none-stated"
)";

/// One bed of kale with caterpillars, asked on 10 June.
struct Case {
  Sketch sketch{"2025-06-10T07:00Z"};
  explicit Case(int plants = 20) {
    sketch.weather(12, 24);
    sketch.bed("1");
    sketch.planting("kale", "1", "BRSOC", plants);
    sketch.card(card_text);
  }
  Advice advice(const char* pest = "PIERRA") {
    const BriefRequest request = sketch.request();
    const Context context = context_of(request);
    const BedContext bed = bed_context(context, "1");
    const pest::Dossier& dossier = *request.library->pest(pest);
    const garden::Planting& host = *best_host(bed, dossier);
    return advise(bed, dossier, host, choices(bed, dossier, outlook(bed, dossier, host), host), 7);
  }
  std::vector<std::string> means() {
    std::vector<std::string> names;
    for (const Option& o : advice().act) names.push_back(o.means);
    return names;
  }
};

TEST(Advice, FewAreLeftAlone) {
  Case c;
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "larva", 20, 1);
  EXPECT_TRUE(c.advice().act.empty());
}

TEST(Advice, NobodyActsOnWhatNobodyCounted) {
  Case c;
  const Advice advice = c.advice();
  EXPECT_TRUE(advice.act.empty());
  EXPECT_FALSE(advice.look);
}

TEST(Advice, ManyArePickedByHandFirst) {
  Case c;
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "larva", 20, 16);
  EXPECT_EQ(c.means(), std::vector<std::string>{"hand-pick"});
}

TEST(Advice, WhatLeftThemOverTheThresholdComesLast) {
  Case c;
  c.sketch.count("2025-06-06T06:00Z", "1", "PIERRA", "larva", 20, 16);
  c.sketch.say("2025-06-06T08:00Z", garden::WorkDone{garden::WorkDone::Kind::hand_pick, "1", {}});
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "larva", 20, 14);
  const Advice advice = c.advice();
  ASSERT_FALSE(advice.act.empty());
  EXPECT_EQ(advice.act[0].means, "Test Spin");
  EXPECT_TRUE(test_garden::says(advice.why, "advice.tried"));
}

TEST(Advice, HandWorkThatTakesTooLongComesAfterASprayThatMayBeUsed) {
  Case c{300};
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "larva", 20, 16);
  EXPECT_EQ(c.means(), std::vector<std::string>{"Test Spin"});
}

TEST(Advice, EggsThatWillHatchSendSomebodyToLookAgain) {
  Case c;
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "egg", 20, 30);
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "larva", 20, 0);
  const Advice advice = c.advice();
  for (const Option& o : advice.act) EXPECT_EQ(o.means, "crush-eggs");
  ASSERT_TRUE(advice.look);
  EXPECT_GT(*advice.look, day("2025-06-10"));
  EXPECT_LE(*advice.look, day("2025-06-17"));
}

TEST(Advice, AShareOfPlantsIsHeldAgainstTheMeanThatMeetsIt) {
  // Three of ten plants with any, plants differing by k = 1: 1 − 1/(1 + m) = 0.3, m = 3/7.
  pest::Library one = test_garden::library();
  std::erase_if(one.pests, [](const pest::Dossier& d) { return d.eppo != "PIERRA"; });
  one.pests[0].thresholds = {{{}, "larva", pest::Threshold::Measure::share_of_plants, {0.3, {"invented", pest::Known::practice, ""}}, ""}};
  Case c;
  c.sketch.knows(one);
  c.sketch.count("2025-06-10T06:00Z", "1", "PIERRA", "larva", 20, 16);
  const BriefRequest request = c.sketch.request();
  const Context context = context_of(request);
  const BedContext bed = bed_context(context, "1");
  const auto weighed = weigh(bed, one.pests[0], *best_host(bed, one.pests[0]), 7);
  ASSERT_TRUE(weighed);
  test::check_row({"advice.share", "30 % of plants infested, k = 1: mean per plant", "closed form of the negative binomial's zero class",
                   "derived", test::From::independent, 3.0 / 7.0, 1e-9, "per plant"},
                  weighed->limit);
  EXPECT_GT(weighed->p_now, 0.8);
  EXPECT_EQ(c.means(), std::vector<std::string>{"hand-pick"});
}

TEST(Advice, ThresholdsHaveAnAge) {
  garden::Planting planting;
  planting.sown.set_out = day("2025-04-01");
  planting.sown.first_harvest = day("2025-06-30");
  pest::Threshold t;
  const auto fits = [&](const char* growth, const char* on) {
    t.growth = growth;
    return fits_age(t, planting, day(on));
  };
  EXPECT_TRUE(fits("", "2025-05-01"));
  EXPECT_TRUE(fits("cupping", "2025-06-15"));
  EXPECT_FALSE(fits("cupping", "2025-06-16"));
  EXPECT_FALSE(fits("near-maturity", "2025-06-15"));
  EXPECT_TRUE(fits("near-maturity", "2025-06-16"));
  EXPECT_TRUE(fits("seedbed", "2025-04-10"));
  EXPECT_FALSE(fits("seedbed", "2025-04-15"));
  EXPECT_TRUE(fits("until-flowering", "2025-06-29"));
  EXPECT_FALSE(fits("until-flowering", "2025-06-30"));
}

}  // namespace
}  // namespace leafturn::decision
