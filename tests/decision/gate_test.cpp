// Whether the population model may speak, and the forecast it has to beat.

#include "core/decision/gate.hpp"

#include <cmath>

#include "core/base/random.hpp"
#include "core/decision/carried_count.hpp"
#include "core/population/steps.hpp"
#include "tests/decision/support.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::decision::test_garden {
namespace {

Compared compared(int day, double population, std::optional<double> carried, int plants = 10) {
  Compared one;
  one.sighting.at = day * population::steps_a_day + 3;
  one.sighting.plants = plants;
  one.population = population;
  one.carried = carried;
  return one;
}

const Term pest{"pest.imported-cabbageworm.name"};

TEST(Gate, TenCountsOnThreeDaysAreNeeded) {
  std::vector<Compared> scored;
  EXPECT_EQ(gate(scored, pest).why.code, "gate.too_few");
  for (int i = 0; i < 9; ++i) scored.push_back(compared(i, 1.0, 2.0));
  scored.push_back(compared(9, 1.0, std::nullopt));  // nothing to compare it with
  const Gate nine = gate(scored, pest);
  EXPECT_EQ(nine.why.code, "gate.too_few");
  EXPECT_EQ(nine.counts, 9);
  EXPECT_EQ(nine.scored.size(), 10U);
  scored.push_back(compared(10, 1.1, 2.0));
  EXPECT_TRUE(gate(scored, pest).passed);
  EXPECT_EQ(gate(scored, pest).why.code, "gate.passed");

  std::vector<Compared> two_days;
  for (int i = 0; i < 12; ++i) two_days.push_back(compared(i % 2, 1.0, 2.0 + 0.01 * i));
  EXPECT_EQ(gate(two_days, pest).why.code, "gate.few_walks");
  EXPECT_FALSE(gate(two_days, pest).passed);
}

TEST(Gate, TheErrorOfTheMeanTakesADayAsOne) {
  // Three days of four counts, gains per plant 0.1·(1, 2, 3): by hand, mean 0.2, days' sums of deviations −0.4, 0, 0.4.
  std::vector<Compared> scored;
  for (int day = 0; day < 3; ++day)
    for (int i = 0; i < 4; ++i) scored.push_back(compared(day, 5.0, 6.0 + day));
  const Gate g = gate(scored, pest);
  EXPECT_EQ(g.counts, 12);
  EXPECT_EQ(g.walks, 3);
  EXPECT_NEAR(g.gain, 0.2, 1e-12);
  EXPECT_NEAR(g.standard_error, std::sqrt(1.5 * 0.32) / 12.0, 1e-12);
  EXPECT_NEAR(g.population, 0.5, 1e-12);
  EXPECT_NEAR(g.carried, 0.7, 1e-12);
}

TEST(Gate, OneLuckyCountIsNotEnough) {
  std::vector<Compared> scored;
  for (int day = 0; day < 20; ++day) scored.push_back(compared(day, 1.0, 1.0));
  scored[7].carried = 500.0;
  EXPECT_GT(gate(scored, pest).gain, 0.0);
  EXPECT_EQ(gate(scored, pest).why.code, "gate.not_better");
}

TEST(Gate, AModelWithoutGainPassesOneGardenInTen) {
  // Skewed gains (centred exponentials) that the counts of a day share in part, five days of four.
  constexpr int gardens = 4000;
  int passed = 0;
  for (int garden = 0; garden < gardens; ++garden) {
    num::Draws draws({.seed = 14, .member = static_cast<std::uint32_t>(garden), .use = num::Use::test});
    std::vector<Compared> scored;
    for (int day = 0; day < 5; ++day) {
      const double shared = draws.exponential() - draws.exponential();
      for (int i = 0; i < 4; ++i) scored.push_back(compared(day, 10.0, 10.0 + shared + draws.exponential() - draws.exponential()));
    }
    passed += gate(std::move(scored), pest).passed ? 1 : 0;
  }
  // 0.1 with a standard error of 0.0047; symmetric gains of heavier tails than normal ones pass a little less often.
  EXPECT_GT(passed / double{gardens}, 0.07);
  EXPECT_LT(passed / double{gardens}, 0.115);
}

TEST(Gate, StudentsDistribution) {
  const auto row = [](int degrees, double expected, double tolerance) {
    test::check_row(
        {"gate.student." + std::to_string(degrees), "90 % quantile of Student's t, " + std::to_string(degrees) + " degrees of freedom",
         "printed tables of Student's distribution", "memory", test::From::published, expected, tolerance, "1"},
        student_90(degrees));
  };
  row(2, 1.8856, 0.004);
  row(3, 1.6377, 0.0005);
  row(5, 1.4759, 0.0002);
  row(9, 1.3830, 0.0002);
  row(20, 1.3253, 0.0002);
  row(120, 1.2886, 0.0002);
}

// Nothing develops at 5 °C, so a count is carried on as it is.
Sketch cold_kale() {
  Sketch s("2025-06-20T18:00Z");
  s.weather(5, 5);
  s.bed("1");
  s.bed("2", 2);
  s.planting("kale", "1", "BRSOC");
  s.planting("broccoli", "2", "BRSOK");
  return s;
}

struct Carrier {
  explicit Carrier(Sketch& sketch)
      : request{sketch.request()},
        dossier{*library().pest("PIERRA")},
        counts{request, dossier, air_of(request.weather, {Angle::degrees(43.0), Angle::degrees(-88.0), {}}, day("2025-06-20"))} {}
  std::optional<population::NegativeBinomial> larvae(const char* when, const char* bed = "1", int plants = 20) {
    return counts.expect(bed, at(when), at(when), pest::stages_for(dossier, "larva").stages, 1.0, plants);
  }
  BriefRequest request;
  const pest::Dossier& dossier;
  CarriedCounts counts;
};

TEST(CarriedCounts, OnlyEarlierCountsOfTheBedSpeak) {
  Sketch s = cold_kale();
  s.count("2025-06-10T07:00Z", "1", "PIERRA", "larva", 20, 30);
  s.count("2025-06-15T07:00Z", "1", "PIERRA", "larva", 20, 4);
  s.count("2025-06-10T08:00Z", "1", "PIERRA", "egg", 20, 9);
  Carrier carrier(s);
  EXPECT_FALSE(carrier.larvae("2025-06-10T07:00Z")) << "not itself";
  EXPECT_FALSE(carrier.larvae("2025-06-12T07:00Z", "2")) << "not another bed's";
  ASSERT_TRUE(carrier.larvae("2025-06-15T07:00Z"));
  EXPECT_NEAR(carrier.larvae("2025-06-15T07:00Z")->mean, 30.5, 1e-6);
  EXPECT_NEAR(carrier.larvae("2025-06-16T07:00Z", "1", 10)->mean, 2.25, 1e-6);
  EXPECT_NEAR(carrier.counts
                  .expect("1", at("2025-06-15T08:00Z"), at("2025-06-15T07:00Z"), pest::stages_for(carrier.dossier, "larva").stages, 1.0, 20)
                  ->mean,
              30.5, 1e-6)
      << "nor one of the same walk";
  EXPECT_FALSE(carrier.counts.expect("1", at("2025-06-16T07:00Z"), at("2025-06-16T07:00Z"),
                                     pest::stages_for(carrier.dossier, "pupa").stages, 1.0, 20))
      << "none of what was counted can be there";
}

TEST(CarriedCounts, ItsVarianceIsThatOfPlantsAndOfTheCount) {
  // By hand: 20 plants, 30 found: relative variance of the density 1/30.5 + 1/20; of 20 plants more, with k = 1, (1 + v)/20 beside it.
  Sketch s = cold_kale();
  s.count("2025-06-10T07:00Z", "1", "PIERRA", "larva", 20, 30);
  Carrier carrier(s);
  const auto forecast = carrier.larvae("2025-06-15T07:00Z");
  ASSERT_TRUE(forecast);
  const double v = 1.0 / 30.5 + 1.0 / 20.0;
  EXPECT_NEAR(1.0 / forecast->k, v + (1.0 + v) / 20.0, 1e-9);
}

TEST(CarriedCounts, WorkSinceTheCountTakesItsShareAndLaterWorkDoesNot) {
  Sketch s = cold_kale();
  s.count("2025-06-10T07:00Z", "1", "PIERRA", "larva", 20, 40);
  s.say("2025-06-12T07:00Z", garden::WorkDone{garden::WorkDone::Kind::hand_pick, "1", {}});
  Carrier carrier(s);
  const double before = carrier.larvae("2025-06-11T07:00Z")->mean;
  const double after = carrier.larvae("2025-06-13T07:00Z")->mean;
  EXPECT_NEAR(before, 40.5, 1e-6);
  EXPECT_LT(after, 0.6 * before);
  s.say("2025-06-14T07:00Z", garden::WorkDone{garden::WorkDone::Kind::pull, "1", {}});
  Carrier pulled(s);
  EXPECT_FALSE(pulled.larvae("2025-06-15T07:00Z")) << "what was counted on the old crop says nothing of the next";
}

}  // namespace
}  // namespace leafturn::decision::test_garden
