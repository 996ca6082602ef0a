// The pieces of the particle filter, against the worked numbers of the reference and against what must hold for any weights.

#include "core/population/assimilate.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstring>
#include <limits>
#include <vector>

#include "core/base/random.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using test::check_row;
using test::From;

constexpr double inf = std::numeric_limits<double>::infinity();

std::vector<double> some_weights(std::size_t n, std::uint64_t seed) {
  num::Draws draws({.seed = seed});
  std::vector<double> w(n);
  for (double& v : w) v = std::exp(3.0 * draws.normal());
  return w;
}

TEST(Assimilate, EffectiveSizes) {
  const std::array<double, 5> w{.1, .2, .05, .4, .25};
  check_row({"weights.ess", "effective size of (.1, .2, .05, .4, .25)", "Kong, Liu & Wong 1994, closed form", "derived", From::independent,
             3.6363636364, 1e-9, ""},
            effective_size(w));
  check_row(
      {"weights.entropy", "the same by entropy", "closed form exp(-sum w log w)", "derived", From::independent, 4.1165794523, 1e-9, ""},
      entropy_size(w));
  const std::vector<double> equal(1000, 0.25);
  EXPECT_NEAR(effective_size(equal), 1000.0, 1e-9);
  EXPECT_NEAR(entropy_size(equal), 1000.0, 1e-8);
  const std::vector<double> one{0.0, 3.0, 0.0};
  EXPECT_NEAR(effective_size(one), 1.0, 1e-12);
  EXPECT_NEAR(entropy_size(one), 1.0, 1e-12);
  EXPECT_EQ(effective_size(std::vector<double>{0.0, 0.0}), 0.0);
  EXPECT_EQ(entropy_size(std::vector<double>{}), 0.0);
  for (std::uint64_t seed = 0; seed < 50; ++seed) {
    const auto some = some_weights(1 + seed * 7, seed);
    EXPECT_LE(effective_size(some), entropy_size(some) * (1.0 + 1e-12));
    EXPECT_LE(entropy_size(some), static_cast<double>(some.size()) * (1.0 + 1e-12));
  }
}

TEST(Assimilate, SystematicResamplingByHand) {
  const std::array<double, 5> w{.1, .2, .05, .4, .25};
  std::array<std::uint32_t, 5> picked{};
  const std::array<std::array<std::uint32_t, 5>, 2> expected{{{0, 1, 3, 3, 4}, {1, 3, 3, 4, 4}}};
  for (std::size_t run = 0; run < 2; ++run) {
    ASSERT_TRUE(resample(w, run == 0 ? 0.35 : 0.9, picked));
    for (std::size_t i = 0; i < 5; ++i)
      check_row(
          {"resample." + std::string(run == 0 ? "35." : "90.") + std::to_string(i),
           "index " + std::to_string(i) + ", same weights, u0 " + (run == 0 ? "0.35" : "0.9"),
           "Kitagawa 1996, systematic resampling by hand", "derived", From::independent, static_cast<double>(expected[run][i]), 0.0, ""},
          picked[i]);
  }
}

TEST(Assimilate, ResamplingPicksAsOftenAsTheWeightSays) {
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    auto w = some_weights(300, seed);
    for (std::size_t i = seed % 3; i < w.size(); i += 3) w[i] = 0.0;
    w.front() = 0.0;
    w.back() = 0.0;
    const double total = tree_sum(w);
    std::vector<std::uint32_t> picked(seed % 2 == 0 ? 300 : 1000);
    const double u0 = seed == 0 ? 0.0 : num::Draws({.seed = seed, .member = 1}).uniform();
    ASSERT_TRUE(resample(w, u0, picked));
    std::vector<int> times(w.size(), 0);
    for (std::size_t i = 0; i < picked.size(); ++i) {
      if (i > 0) {
        EXPECT_LE(picked[i - 1], picked[i]);
      }
      ++times[picked[i]];
    }
    for (std::size_t i = 0; i < w.size(); ++i) {
      const double due = w[i] / total * static_cast<double>(picked.size());
      EXPECT_LE(std::abs(times[i] - due), 1.0 + 1e-9);
      if (!(w[i] > 0.0)) {
        EXPECT_EQ(times[i], 0);
      }
    }
  }
  std::array<std::uint32_t, 2> as_it_was{7, 8};
  EXPECT_FALSE(resample(std::vector<double>{0.0, 0.0}, 0.5, as_it_was));
  EXPECT_EQ(as_it_was, (std::array<std::uint32_t, 2>{7, 8}));
}

TEST(Assimilate, TheTreeIsTheSameHoweverItsLeavesWereSummed) {
  for (const std::size_t n : {std::size_t{0}, std::size_t{1}, std::size_t{7}, std::size_t{256}, std::size_t{257}, std::size_t{1000},
                              std::size_t{4096}, std::size_t{5555}}) {
    const auto x = some_weights(n, n);
    std::vector<double> blocks((n + sum_block - 1) / sum_block);
    for (std::size_t b = blocks.size(); b-- > 0;)
      blocks[b] = tree_sum(std::span{x}.subspan(b * sum_block, std::min(sum_block, n - b * sum_block)));
    const double whole = tree_sum(x);
    const double joined = join_blocks(blocks);
    EXPECT_EQ(std::memcmp(&whole, &joined, sizeof whole), 0) << n;
    long double plain = 0.0L;
    for (const double v : x) plain += v;
    EXPECT_NEAR(whole, static_cast<double>(plain), 1e-14 * static_cast<double>(plain) + 1e-300);
  }
}

TEST(Assimilate, LogWeights) {
  EXPECT_EQ(log_sum_exp({}), -inf);
  EXPECT_EQ(log_sum_exp(std::vector<double>{-inf, -inf}), -inf);
  EXPECT_EQ(log_sum_exp(std::vector<double>{1.0, inf}), inf);
  EXPECT_TRUE(std::isnan(log_sum_exp(std::vector<double>{1.0, std::nan("")})));
  EXPECT_NEAR(log_sum_exp(std::vector<double>{-1000.0, -1000.0, -inf}), -1000.0 + std::log(2.0), 1e-12);
  EXPECT_NEAR(log_sum_exp(std::vector<double>{2000.0, 1999.0}), 2000.0 + std::log1p(std::exp(-1.0)), 1e-12);

  std::vector<double> log_w(3000);
  num::Draws draws({.seed = 3});
  for (double& v : log_w) v = -5000.0 + 4.0 * draws.normal();
  log_w[17] = -inf;
  std::vector<double> w(log_w.size());
  const auto total = normalise(log_w, w);
  ASSERT_TRUE(total.has_value());
  EXPECT_NEAR(*total, log_sum_exp(log_w), 1e-9);
  EXPECT_NEAR(tree_sum(w), 1.0, 1e-14);
  EXPECT_EQ(w[17], 0.0);
  EXPECT_NEAR(w[1] / w[2], std::exp(log_w[1] - log_w[2]), 1e-9 * (w[1] / w[2]));
  auto same = log_w;
  ASSERT_TRUE(normalise(same, same).has_value());
  EXPECT_EQ(same, w);

  for (const std::vector<double>& bad :
       {std::vector<double>{}, std::vector<double>{-inf, -inf}, std::vector<double>{0.0, inf}, std::vector<double>{0.0, std::nan("")}}) {
    std::vector<double> kept(bad.size(), 42.0);
    EXPECT_FALSE(normalise(bad, kept).has_value());
    for (const double v : kept) EXPECT_EQ(v, 42.0);
  }
}

TEST(Assimilate, LiuAndWestsConstants) {
  const std::string source = "Liu & West 2001, closed form (3d-1)/(2d)";
  const std::vector<std::array<double, 3>> rows{
      {.95, 0.9736842105, 0.0519390582}, {.99, 0.9949494949, 0.0100755025}, {.975, 0.9871794872, 0.0254766601}};
  for (const auto& [discount, shrink, variance] : rows) {
    const std::string id = "liuwest." + std::to_string(static_cast<int>(discount * 1000 + 0.5));
    const std::string at = " of discount " + std::to_string(discount);
    check_row({id + ".shrink", "shrink" + at, source, "derived", From::independent, shrink, 1e-9, ""}, liu_west(discount).shrink);
    check_row({id + ".kernel", "kernel variance" + at, source, "derived", From::independent, variance, 1e-9, ""},
              liu_west(discount).kernel_variance);
  }
  for (const double outside : {1.0, 2.0, 0.2, -1.0, std::nan("")}) {
    EXPECT_EQ(liu_west(outside).shrink, 1.0);
    EXPECT_EQ(liu_west(outside).kernel_variance, 0.0);
  }
}

TEST(Assimilate, ACloudShrinksTowardsItsWeightedMean) {
  const std::string source = "Liu & West 2001, by hand";
  const std::array<double, 4> weights{.1, .4, .3, .2};
  std::array<double, 4> cloud{1, 2, 4, 5};
  const Moments before = moments(cloud, weights);
  check_row({"liuwest.mean", "weighted mean of (1, 2, 4, 5)", source, "derived", From::independent, 3.1, 1e-12, ""}, before.mean);
  check_row({"liuwest.variance", "weighted variance", source, "derived", From::independent, 1.89, 1e-12, ""}, before.variance);
  check_row({"liuwest.width", "variance of the kernel at discount .95", source, "derived", From::independent, 0.0981648199, 1e-9, ""},
            liu_west(.95).kernel_variance * before.variance);
  shrink_and_jitter(cloud, weights, liu_west(.95), std::array<double, 4>{});
  const std::array<double, 4> expected{1.05526316, 2.02894737, 3.97631579, 4.95};
  for (std::size_t i = 0; i < 4; ++i)
    check_row({"liuwest.location." + std::to_string(i), "where the kernel of " + std::to_string(i) + " stands", source, "derived",
               From::independent, expected[i], 1e-8, ""},
              cloud[i]);
}

// Over many draws of z, mean and variance of the moved cloud average to what they were.
TEST(Assimilate, MovingACloudKeepsItsMoments) {
  const std::size_t n = 400;
  auto weights = some_weights(n, 11);
  std::vector<double> start(n);
  num::Draws draws({.seed = 12});
  for (double& v : start) v = 2.0 + draws.gamma(2.0);
  const Moments before = moments(start, weights);
  const int runs = 4000;
  double mean = 0.0, variance = 0.0, mean_square = 0.0, variance_square = 0.0;
  std::vector<double> z(n);
  for (int run = 0; run < runs; ++run) {
    for (double& v : z) v = draws.normal();
    auto cloud = start;
    shrink_and_jitter(cloud, weights, liu_west(.95), z);
    const Moments after = moments(cloud, weights);
    // E[variance] lacks what the mean itself wanders: Var(mean) over z.
    mean += after.mean / runs;
    mean_square += after.mean * after.mean / runs;
    variance += after.variance / runs;
    variance_square += after.variance * after.variance / runs;
  }
  const double mean_wander = mean_square - mean * mean;
  EXPECT_NEAR(mean, before.mean, 4.0 * std::sqrt(mean_wander / runs));
  const double variance_error = std::sqrt((variance_square - variance * variance) / runs);
  EXPECT_NEAR(variance + mean_wander, before.variance, 4.0 * variance_error + 1e-9);
  EXPECT_LT(variance_error, 0.01 * before.variance);  // so that the line above can fail

  std::vector<float> floats(start.begin(), start.end());
  auto doubles = start;
  shrink_and_jitter(floats, weights, liu_west(.95), z);
  shrink_and_jitter(doubles, weights, liu_west(.95), z);
  for (std::size_t i = 0; i < n; ++i) EXPECT_NEAR(static_cast<double>(floats[i]), doubles[i], 1e-6 * (1.0 + std::abs(doubles[i])));
  EXPECT_NEAR(moments(floats, weights).variance, moments(doubles, weights).variance, 1e-5);
  EXPECT_NEAR(moments(start, {}).mean, tree_sum(start) / static_cast<double>(n), 1e-12);
}

}  // namespace
}  // namespace leafturn::population
