// Forecasts of counts pooled with what counts alone say: shares, k and surges as the garden's own scores teach them.
#include "core/population/pool.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <random>

#include "core/population/count_mixture.hpp"

namespace leafturn::population {
namespace {

constexpr int plants = 20;

Sighting seen(std::size_t bed, int day, int count) { return {bed, day * steps_a_day, {1}, 1.0, plants, count, {}}; }

std::vector<NegativeBinomial> sure_of(double mean, double k) { return std::vector<NegativeBinomial>(16, NegativeBinomial{mean, k}); }

double share_of(const Pool::Forecast& forecast, std::size_t from_the_end) {
  return forecast.weights[forecast.weights.size() - 1 - from_the_end];
}

// A season of weekly counts around `mean`, which the model foretells as `model`.
Pool after_a_season(double mean, double model, unsigned seed) {
  Pool pool{1, 0.1};
  std::mt19937 random{seed};
  for (int week = 0; week < 30; ++week) {
    std::gamma_distribution<double> bed{2.0, mean / 2.0};
    std::poisson_distribution<int> found{bed(random)};
    const Sighting s = seen(0, 7 * week, found(random));
    const std::vector<std::vector<NegativeBinomial>> foretold{sure_of(model, 2.0)};
    pool.learn({&s, 1}, foretold, {});
  }
  return pool;
}

TEST(Pool, SharesSumToOneAndTheModelKeepsItsMembers) {
  Pool pool{2, 0.2};
  // Of a stage never counted, counts alone say nothing.
  EXPECT_EQ(pool.of(seen(1, 3, 0), sure_of(4.0, 1.0), {}, 3.0).weights[16], 0.0);
  const Sighting first = seen(0, 1, 2);
  const std::vector<std::vector<NegativeBinomial>> foretold{sure_of(2.0, 1.0)};
  pool.learn({&first, 1}, foretold, {});
  const auto forecast = pool.of(seen(1, 3, 0), sure_of(4.0, 1.0), {}, 3.0);
  ASSERT_EQ(forecast.members.size(), 18U);
  EXPECT_NEAR(std::accumulate(forecast.weights.begin(), forecast.weights.end(), 0.0), 1.0, 1e-12);
  for (const double w : forecast.weights) EXPECT_GT(w, 0.0);
}

TEST(Pool, CountsTeachWhomToBelieve) {
  // The model is right from week to week, or it is ten times too high: what counts alone say is right in both seasons.
  const auto right = after_a_season(8.0, 8.0, 1).of(seen(0, 212, 0), sure_of(8.0, 2.0), {}, 7.0);
  const auto wrong = after_a_season(8.0, 80.0, 1).of(seen(0, 212, 0), sure_of(80.0, 2.0), {}, 7.0);
  EXPECT_GT(share_of(wrong, 1), share_of(right, 1) + 0.1);
  const auto pooled = CountMixture::of(wrong.members, wrong.weights);
  EXPECT_LT(pooled->quantile(0.5), 20) << "a model that is ten times too high is outvoted";
}

TEST(Pool, KOfCountsAloneComesNearTheTrueOne) {
  for (const double k : {0.4, 5.0}) {
    CountsAlone alone{1};
    std::mt19937 random{7};
    for (int week = 0; week < 150; ++week) {
      std::gamma_distribution<double> bed{k, 30.0 / k};
      std::poisson_distribution<int> found{bed(random)};
      const Sighting s = seen(0, 2 * week, found(random));
      alone.score(s, 1.0);
      alone.add(s, 1.0);
    }
    const double learned = alone.expect(seen(0, 301, 0), 1.0).k;
    EXPECT_LT(std::abs(std::log(learned / k)), std::log(2.0)) << k << " learned as " << learned;
  }
}

TEST(Pool, ABedsOwnCountsOutweighTheOthers) {
  CountsAlone alone{2};
  alone.add(seen(0, 0, 100), 1.0);
  alone.add(seen(1, 0, 0), 1.0);
  EXPECT_GT(alone.expect(seen(0, 1, 0), 1.0).mean, 50.0);
  EXPECT_LT(alone.expect(seen(1, 1, 0), 1.0).mean, 5.0);
  EXPECT_NEAR(alone.anywhere(seen(1, 1, 0)), 40.0, 10.0) << "100 on 40 plants, drawn towards few";
}

TEST(Pool, WhatWasDoneSinceTheLastLookIsTakenOff) {
  Deed picked;
  picked.at = 2 * steps_a_day;
  picked.low = {0.0F, 0.6F};
  picked.high = {0.0F, 1.0F};
  EXPECT_NEAR(left_by({&picked, 1}, seen(0, 3, 0), 0), 0.2, 1e-6);
  EXPECT_NEAR(left_by({&picked, 1}, seen(0, 1, 0), 0), 1.0, 1e-12) << "not done yet";
  EXPECT_NEAR(left_by({&picked, 1}, seen(1, 3, 0), 0), 1.0, 1e-12) << "in another bed";
  CountsAlone alone{1};
  alone.add(seen(0, 0, 60), 1.0);
  EXPECT_NEAR(alone.expect(seen(0, 3, 0), 0.2).mean, 0.2 * alone.expect(seen(0, 3, 0), 1.0).mean, 1.0);
}

TEST(Pool, SurgesAreLikelierTheLongerNobodyLookedAndHigherWhereThePestGrowsFast) {
  const auto after = [](double growth, int days, double mean) {
    Pool pool{1, growth};
    const Sighting s = seen(0, 0, 2);
    const std::vector<std::vector<NegativeBinomial>> foretold{sure_of(2.0, 1.0)};
    pool.learn({&s, 1}, foretold, {});
    return pool.of(seen(0, days, 0), sure_of(mean, 1.0), {}, days);
  };
  EXPECT_GT(share_of(after(0.2, 14, 1.0), 0), 1.5 * share_of(after(0.2, 7, 1.0), 0));
  EXPECT_LT(share_of(after(0.2, 14, 500.0), 0), 0.3 * share_of(after(0.2, 14, 1.0), 0)) << "where many are expected, many are no surprise";
  EXPECT_GT(after(0.25, 14, 1.0).members.back().mean, 3.0 * after(0.05, 14, 1.0).members.back().mean);
}

}  // namespace
}  // namespace leafturn::population
