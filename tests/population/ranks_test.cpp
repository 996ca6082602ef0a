// Ranks for simulation-based calibration: they must pass what is right and catch what is too narrow, too wide or off.

#include "bench/support/ranks.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/base/random.hpp"
#include "core/population/assimilate.hpp"
#include "core/population/detection.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using bench::RankHistogram;

TEST(Ranks, CountWhatLiesBelow) {
  const std::vector<double> draws{3, 1, 2, 2};
  EXPECT_EQ(bench::rank_among(0.5, draws, 0.9), 0u);
  EXPECT_EQ(bench::rank_among(2.5, draws, 0.0), 3u);
  EXPECT_EQ(bench::rank_among(9.0, draws, 0.9), 4u);
  EXPECT_EQ(bench::rank_among(2.0, draws, 0.0), 1u);
  EXPECT_EQ(bench::rank_among(2.0, draws, 0.5), 2u);
  EXPECT_EQ(bench::rank_among(2.0, draws, 0.99), 3u);
  const std::vector<double> weights{0.0, 1.0, 2.0, 1.0};
  EXPECT_EQ(bench::rank_by_weight(0.5, draws, weights, 99, 0.5), 0u);
  EXPECT_EQ(bench::rank_by_weight(1.5, draws, weights, 99, 0.5), 25u);
  EXPECT_EQ(bench::rank_by_weight(9.0, draws, weights, 99, 0.5), 99u);
}

TEST(Ranks, TheHistogramByHand) {
  RankHistogram ranks{9, 5};
  for (const int rank : {0, 1, 1, 2, 3, 4, 5, 6, 7, 8, 9, 9, 9, 9, 9}) ranks.add(static_cast<std::size_t>(rank));
  EXPECT_EQ(ranks.counts(), (std::vector<std::int64_t>{3, 2, 2, 2, 6}));
  EXPECT_DOUBLE_EQ(ranks.chi_square(), (0 + 1 + 1 + 1 + 9) / 3.0);
  test::check_row({"ranks.p", "chance of a chi-square of 4 or more, 4 degrees of freedom", "closed form e^-2 (1 + 2)", "derived",
                   test::From::independent, 3.0 * std::exp(-2.0), 1e-9, ""},
                  ranks.p_value());
  EXPECT_GT(ranks.bias_z(), 1.0);
  // Bins that can't be even expect by their share of ranks: 4 ranks in 3 bins.
  RankHistogram uneven{3, 3};
  for (int i = 0; i < 400; ++i) uneven.add(static_cast<std::size_t>(i % 4));
  EXPECT_NEAR(uneven.chi_square(), 0.0, 1e-12);
  EXPECT_NEAR(uneven.bias_z(), 0.0, 1e-12);
}

// A normal mean of known posterior; `width` and `shift` make the posterior wrong.
RankHistogram calibrate(double width, double shift, std::uint64_t seed) {
  RankHistogram ranks{99, 20};
  for (std::uint32_t run = 0; run < 500; ++run) {
    num::Draws draws({.seed = seed, .member = run});
    const double truth = draws.normal();
    double mean = 0.0;
    double variance = 1.0;
    for (int i = 0; i < 4; ++i) {
      const double gain = variance / (variance + 2.0);
      mean += gain * (truth + std::sqrt(2.0) * draws.normal() - mean);
      variance *= 1.0 - gain;
    }
    std::vector<double> posterior(99);
    for (double& x : posterior) x = mean + std::sqrt(variance) * (shift + width * draws.normal());
    ranks.add(bench::rank_among(truth, posterior, draws.uniform()));
  }
  return ranks;
}

TEST(Ranks, PassTheRightAndCatchTheWrong) {
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const auto right = calibrate(1.0, 0.0, seed);
    EXPECT_GT(right.p_value(), 1e-4);
    EXPECT_LT(std::abs(right.bias_z()), 4.0);
    EXPECT_LT(std::abs(right.spread_z()), 4.0);
    EXPECT_LT(calibrate(0.6, 0.0, seed).p_value(), 1e-6);
    EXPECT_GT(calibrate(0.6, 0.0, seed).spread_z(), 5.0);
    EXPECT_LT(calibrate(1.6, 0.0, seed).p_value(), 1e-3);
    EXPECT_LT(calibrate(1.6, 0.0, seed).spread_z(), -5.0);
    EXPECT_LT(calibrate(1.0, -0.4, seed).p_value(), 1e-4);
    EXPECT_GT(calibrate(1.0, -0.4, seed).bias_z(), 5.0);
  }
}

// Under the right posterior the chance itself is uniform.
TEST(Ranks, TheirChanceIsUniform) {
  RankHistogram chances{9, 10};
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    RankHistogram ranks{99, 20};
    num::Draws draws({.seed = seed, .member = 77});
    for (int i = 0; i < 2000; ++i) ranks.add(static_cast<std::size_t>(draws.uniform() * 100.0));
    chances.add(static_cast<std::size_t>(ranks.p_value() * 10.0));
  }
  EXPECT_GT(chances.p_value(), 1e-3);
}

// A static number followed by particles that Liu & West's step refreshes: the prior of four observations' truth, 500 times.
TEST(Ranks, ARefreshedCloudIsCalibrated) {
  RankHistogram ranks{99, 20};
  const std::size_t n = 1000;
  std::vector<double> cloud(n), moved(n), log_w(n), w(n), z(n);
  std::vector<std::uint32_t> picked(n);
  for (std::uint32_t run = 0; run < 500; ++run) {
    num::Draws draws({.seed = 91, .member = run});
    const double truth = draws.normal();
    for (double& v : cloud) v = draws.normal();
    for (int i = 0; i < 6; ++i) {
      const auto seen = static_cast<double>(draws.poisson(5.0 * std::exp(0.5 * truth)));
      for (std::size_t j = 0; j < n; ++j) log_w[j] = seen * 0.5 * cloud[j] - 5.0 * std::exp(0.5 * cloud[j]);
      ASSERT_TRUE(normalise(log_w, w).has_value());
      ASSERT_TRUE(resample(w, draws.uniform(), picked));
      for (std::size_t j = 0; j < n; ++j) moved[j] = cloud[picked[j]];
      cloud.swap(moved);
      for (double& v : z) v = draws.normal();
      shrink_and_jitter(cloud, {}, liu_west(0.98), z);
    }
    ranks.add(bench::rank_by_weight(truth, cloud, std::vector<double>(n, 1.0), 99, draws.uniform()));
  }
  EXPECT_GT(ranks.p_value(), 1e-3);
  EXPECT_LT(std::abs(ranks.bias_z()), 3.5);
  EXPECT_LT(std::abs(ranks.spread_z()), 3.5);
}

// The share found, truths from its own prior.
TEST(Ranks, TheShareFoundIsCalibrated) {
  RankHistogram ranks{99, 20};
  const double size = 0.5 * 0.5 / (0.2 * 0.2) - 1.0;
  for (std::uint32_t run = 0; run < 500; ++run) {
    num::Draws draws({.seed = 92, .member = run});
    const double a = draws.gamma(0.5 * size);
    const double p = a / (a + draws.gamma(0.5 * size));
    auto detection = Detection::of(0.5, 0.2).value();
    for (int i = 0; i < 12; ++i) {
      const auto n = static_cast<std::int64_t>(std::exp(2.0 + 2.5 * draws.uniform()));
      detection.learn({draws.binomial(n, p), draws.binomial(n, p), 20});
    }
    std::size_t rank = 0;
    while (rank < 99 && detection.quantile((static_cast<double>(rank) + 1.0) / 100.0) < p) ++rank;
    ranks.add(rank);
  }
  EXPECT_GT(ranks.p_value(), 1e-3);
  EXPECT_LT(std::abs(ranks.bias_z()), 3.5);
  EXPECT_LT(std::abs(ranks.spread_z()), 3.5);
}

}  // namespace
}  // namespace leafturn::population
