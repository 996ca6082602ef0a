// What a pest is expected to cost, and when no money may be named.

#include "core/decision/loss.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/base/random.hpp"
#include "io/dossier_toml.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::decision {
namespace {

const pest::Library& library() {
  static const pest::Library all = io::built_in_library().value();
  return all;
}
const pest::Dossier& cabbageworm() { return *library().pest("imported-cabbageworm"); }

/// Days × members of the same density but for a factor per member.
Crowd crowd(std::size_t days, std::vector<float> members) {
  Crowd c{days, members.size(), {}};
  for (std::size_t d = 0; d < days; ++d) c.per_plant.insert(c.per_plant.end(), members.begin(), members.end());
  return c;
}

LossCurve curve(double first, std::optional<Outlet> outlet = Outlet::sale) {
  return {{first, 1.0}, outlet, {"invented for the test", pest::Known::practice, ""}};
}
Worth worth() { return {Mass::grams(500), Money::of(4.0), Outlet::sale}; }

TEST(Loss, MoneyNeedsACurveAYieldAndAPrice) {
  const pest::Dossier& pest = cabbageworm();
  const std::string crop = "BRSOA";
  ASSERT_NE(damage_to(pest, crop), nullptr);
  EXPECT_EQ(loss_basis(pest, crop, 20, worth(), curve(0.01)).unit, LossUnit::money);
  Worth no_price = worth();
  no_price.per_kg.reset();
  EXPECT_EQ(loss_basis(pest, crop, 20, no_price, curve(0.01)).unit, LossUnit::mass);
  Worth no_yield = worth();
  no_yield.per_plant.reset();
  EXPECT_EQ(loss_basis(pest, crop, 20, no_yield, curve(0.01)).unit, LossUnit::threshold);
  const LossBasis bare = loss_basis(pest, crop, 20, worth(), std::nullopt);  // no source, no money, whatever the price
  EXPECT_EQ(bare.unit, LossUnit::threshold);
  EXPECT_EQ(bare.why.code, "loss.no_curve");
}

TEST(Loss, AMarkCostsOnlyWhereItWasMeasured) {
  const pest::Dossier& pest = cabbageworm();
  Worth given_away = worth();
  given_away.outlet = Outlet::donation;
  ASSERT_TRUE(is_by_rejection(damage_to(pest, "BRSOA")->kind));
  EXPECT_EQ(loss_basis(pest, "BRSOA", 20, given_away, curve(0.01)).unit, LossUnit::threshold);
  EXPECT_EQ(loss_basis(pest, "BRSOA", 20, given_away, curve(0.01, Outlet::donation)).unit, LossUnit::money);
  // A kilogram that isn't grown is missing everywhere.
  const pest::Dossier* potato_beetle = library().pest("colorado-potato-beetle");
  ASSERT_FALSE(is_by_rejection(damage_to(*potato_beetle, "SOLTU")->kind));
  EXPECT_EQ(loss_basis(*potato_beetle, "SOLTU", 20, given_away, curve(0.01, std::nullopt)).unit, LossUnit::money);
}

TEST(Loss, WhereNothingIsPublishedOnlyTheFeedingIsSaid) {
  pest::Dossier pest = cabbageworm();
  pest.thresholds.clear();
  const LossBasis basis = loss_basis(pest, "BRSOA", 20, worth(), std::nullopt);
  EXPECT_EQ(basis.unit, LossUnit::injury);
  const Harm h = harm(basis, crowd(7, {0.5F, 2.0F}), {}, 1.0);
  EXPECT_NEAR(h.loss[0], 3.5, 1e-6);
  EXPECT_NEAR(h.loss[1], 14.0, 1e-6);
  EXPECT_TRUE(h.days_over.empty());
}

TEST(Loss, MothsDontEatLeavesBugsDo) {
  for (const std::size_t s : feeding_stages(cabbageworm())) EXPECT_NE(cabbageworm().stages[s].group, pest::StageGroup::adult);
  const pest::Dossier& bug = *library().pest("harlequin-bug");
  bool adults = false;
  for (const std::size_t s : feeding_stages(bug)) adults = adults || bug.stages[s].group == pest::StageGroup::adult;
  EXPECT_TRUE(adults);
}

TEST(Loss, InMoneyItIsTheCurveTimesWhatTheBedIsWorth) {
  const LossBasis basis = loss_basis(cabbageworm(), "BRSOA", 20, worth(), curve(0.02));
  const Harm h = harm(basis, crowd(5, {0.0F, 1.0F, 1e6F}), crowd(5, {0.0F, 1.0F, 1e6F}), 1.0);
  EXPECT_NEAR(h.loss[0], 0.0, 1e-12);
  EXPECT_NEAR(h.loss[1], 20 * 0.5 * 4.0 * (0.1 / 1.1), 1e-9);  // five days of one: 0.1/(1 + 0.1)
  EXPECT_NEAR(h.loss[2], 20 * 0.5 * 4.0, 1e-3);                // never more than there is
}

TEST(Loss, AboveTheThresholdIsCountedInDaysAndInThresholds) {
  pest::Dossier pest = cabbageworm();
  pest.thresholds = {{{}, "larva", pest::Threshold::Measure::per_plant, {0.5, {"invented", pest::Known::practice, ""}}, ""}};
  const LossBasis basis = loss_basis(pest, "BRSOA", 20, {}, std::nullopt);
  Crowd counted{3, 2, {0.4F, 0.5F, 1.5F, 0.4F, 0.6F, 0.4F}};
  const Harm h = harm(basis, counted, counted, 1.0);
  EXPECT_NEAR(h.days_over[0], 2.0, 1e-12);
  EXPECT_NEAR(h.loss[0], 2.0 + 0.2, 1e-6);
  EXPECT_EQ(h.days_over[1], 0.0);  // at the threshold is not past it
  EXPECT_EQ(h.loss[1], 0.0);
}

TEST(Loss, SharesOfPlantsFollowTheNegativeBinomial) {
  test::check_row({"loss.infested", "mean 2 a plant, k 0.5: share of plants with any", "closed form 1 - (1 + m/k)^-k", "derived",
                   test::From::independent, 1.0 - std::pow(5.0, -0.5), 1e-12, ""},
                  share_infested(2.0, 0.5));
  EXPECT_EQ(share_infested(0.0, 1.0), 0.0);
  pest::Dossier pest = cabbageworm();
  pest.thresholds = {{{}, "larva", pest::Threshold::Measure::share_of_plants, {0.5, {"invented", pest::Known::practice, ""}}, ""}};
  const LossBasis basis = loss_basis(pest, "BRSOA", 20, {}, std::nullopt);
  const Harm h = harm(basis, crowd(1, {0.9F, 1.1F}), crowd(1, {0.9F, 1.1F}), 1.0);  // k = 1: half the plants at mean 1
  EXPECT_EQ(h.days_over[0], 0.0);
  EXPECT_EQ(h.days_over[1], 1.0);
}

TEST(Loss, CullsTeachTheRejectShare) {
  RejectShare flat{1.0, 1.0};
  const std::vector<Culls> culls{{"imported-cabbageworm", 3}, {"bruised", 4}};
  const RejectShare after = after_culls(flat, 24, culls, "imported-cabbageworm");
  // 24 looked over, 4 thrown out for something else: 3 of 20.
  test::check_row({"culls.mean", "Beta(1, 1), 3 of 20 culled for it: mean reject share", "conjugate beta-binomial (methods 4.3)", "derived",
                   test::From::independent, 0.1818181818, 1e-9, ""},
                  after.mean());
  test::check_row({"culls.over", "the same: P(share > 0.25)", "conjugate beta-binomial (methods 4.3)", "derived", test::From::independent,
                   0.191682143864, 1e-9, ""},
                  after.probability_over(0.25));
  // In two lots or in one: the same.
  const std::vector<Culls> one{{"imported-cabbageworm", 1}}, two{{"imported-cabbageworm", 2}};
  const RejectShare steps = after_culls(after_culls(flat, 8, one, "imported-cabbageworm"), 12, two, "imported-cabbageworm");
  EXPECT_NEAR(steps.rejected, after.rejected, 1e-12);
  EXPECT_NEAR(steps.kept, after.kept, 1e-12);
  const RejectShare impossible = after_culls(flat, 2, culls, "imported-cabbageworm");
  EXPECT_EQ(impossible.rejected, 1.0);
  EXPECT_EQ(impossible.kept, 1.0);
  EXPECT_FALSE(RejectShare{}.learned());
}

TEST(Loss, TheRejectShareComesToTheTruth) {
  num::Draws draws({.seed = 11});
  int held = 0;
  for (int garden = 0; garden < 400; ++garden) {
    const double truth = 0.02 + 0.5 * draws.uniform();
    RejectShare share;
    for (int day = 0; day < 10; ++day) {
      const std::vector<Culls> culls{{"pest", static_cast<int>(draws.binomial(30, truth))}};
      share = after_culls(share, 30, culls, "pest");
    }
    const Estimate e = share.estimate();
    held += e.p05 <= truth && truth <= e.p95;
  }
  EXPECT_GT(held, 340);  // 90 % of 400, ± 3 standard errors
  EXPECT_LT(held, 378);
}

TEST(Loss, OwnCullsMakeACurveThroughWhatWasSeen) {
  EXPECT_FALSE(curve_from_culls({}, 4.0, Outlet::box));
  const RejectShare seen{20.5, 80.5};
  EXPECT_FALSE(curve_from_culls(seen, 0.0, Outlet::box));
  const auto own = curve_from_culls(seen, 4.0, Outlet::box);
  ASSERT_TRUE(own);
  EXPECT_NEAR(share_lost(own->share, 4.0), seen.mean(), 1e-12);
  EXPECT_EQ(own->outlet, Outlet::box);
  EXPECT_EQ(loss_basis(cabbageworm(), "BRSOA", 20, {Mass::grams(500), std::nullopt, Outlet::box}, own).unit, LossUnit::mass);
}

TEST(Loss, SpreadsWeighTheirMembers) {
  const std::vector<double> values{5.0, 1.0, 3.0, 2.0, 4.0};
  const Expectation even = expectation(values, {});
  EXPECT_NEAR(even.mean, 3.0, 1e-12);
  EXPECT_NEAR(even.error, std::sqrt(2.0 / 5.0), 1e-12);
  EXPECT_EQ(even.p05, 1.0);
  EXPECT_EQ(even.p95, 5.0);
  const std::vector<double> one{0.0, 0.0, 1.0, 0.0, 0.0};
  const Expectation sure = expectation(values, one);
  EXPECT_EQ(sure.mean, 3.0);
  EXPECT_EQ(sure.p05, 3.0);
  EXPECT_EQ(sure.p95, 3.0);
  EXPECT_NEAR(weight_above(values, {}, 3.0), 0.4, 1e-12);
}

}  // namespace
}  // namespace leafturn::decision
