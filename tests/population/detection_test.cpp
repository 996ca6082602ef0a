// The share found, learned from two people on the same plants: by brute force for small counts, and by recovering known shares.

#include "core/population/detection.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/base/random.hpp"
#include "core/population/scores.hpp"

namespace leafturn::population {
namespace {

// Both sums as they are written, in long double, over so many individuals that the rest is nothing.
double by_brute_force(int first, int second, double p) {
  const auto binomial = [p](int n, int c) {
    long double ways = 1.0L;
    for (int i = 0; i < c; ++i) ways = ways * (n - i) / (c - i);
    return ways * std::pow(static_cast<long double>(p), c) * std::pow(1.0L - p, n - c);
  };
  long double both = 0.0L;
  long double any = 0.0L;
  for (int n = 1; n < 4000; ++n) {
    if (n >= first && n >= second) both += binomial(n, first) * binomial(n, second) / n;
    if (2 * n >= first + second) any += binomial(2 * n, first + second) / n;
  }
  return static_cast<double>(both / any);
}

TEST(Detection, TheChanceOfASplitByBruteForce) {
  for (const double p : {0.02, 0.3, 0.65, 0.95})
    for (const auto& [first, second] : std::vector<std::pair<int, int>>{{1, 0}, {1, 1}, {3, 1}, {0, 4}, {7, 7}, {12, 9}})
      EXPECT_NEAR(std::exp(log_chance_of_split(first, second, p)), by_brute_force(first, second, p), 1e-9)
          << p << ' ' << first << ' ' << second;
}

TEST(Detection, TheSplitsOfATotalAddUpToOne) {
  for (const double p : {0.0025, 0.1, 0.5, 0.9, 0.9975})
    for (const std::int64_t total : {1, 2, 5, 40, 301}) {
      double sum = 0.0;
      for (std::int64_t first = 0; first <= total; ++first) {
        const double log_chance = log_chance_of_split(first, total - first, p);
        EXPECT_NEAR(log_chance, log_chance_of_split(total - first, first, p), 1e-9);
        sum += std::exp(log_chance);
      }
      EXPECT_NEAR(sum, 1.0, 1e-8) << p << ' ' << total;
    }
  // Hardly any found: a fair coin for each of the total. (1, 1) of two, one half.
  EXPECT_NEAR(std::exp(log_chance_of_split(1, 1, 0.0001)), 0.5, 1e-3);
  // Nearly all found: both the same.
  EXPECT_NEAR(std::exp(log_chance_of_split(30, 30, 0.9999)), 1.0, 0.01);
  EXPECT_EQ(log_chance_of_split(0, 0, 0.3), 0.0);
}

TEST(Detection, ThePriorIsItsMeanAndSpread) {
  for (const double mean : {0.2, 0.5, 0.8})
    for (const double sd : {0.05, 0.15}) {
      const auto prior = Detection::of(mean, sd);
      ASSERT_TRUE(prior.has_value());
      EXPECT_NEAR(prior->mean(), mean, 1e-3);
      EXPECT_NEAR(prior->sd(), sd, 1e-3);
      EXPECT_FALSE(prior->learned());
      EXPECT_LT(prior->quantile(0.05), mean);
      EXPECT_GT(prior->quantile(0.95), mean);
    }
  for (const auto& [mean, sd] : std::vector<std::pair<double, double>>{{0.0, 0.1}, {1.0, 0.1}, {0.5, 0.0}, {0.5, 0.5}, {0.5, std::nan("")}})
    EXPECT_FALSE(Detection::of(mean, sd).has_value());
}

TEST(Detection, LearnsFromPairsOnly) {
  auto detection = Detection::of(0.5, 0.2).value();
  const double mean = detection.mean();
  for (const PairedCount& pair : {PairedCount{40, 41, 19}, PairedCount{-1, 4, 30}, PairedCount{4, -1, 30}, PairedCount{0, 0, 30}})
    EXPECT_FALSE(detection.learn(pair));
  EXPECT_EQ(detection.mean(), mean);
  auto close = detection;
  auto apart = detection;
  for (int i = 0; i < 10; ++i) {
    EXPECT_TRUE(close.learn({40, 41, 20}));
    EXPECT_TRUE(apart.learn({33, 48, 20}));
  }
  EXPECT_GT(close.mean(), 0.8);
  EXPECT_LT(apart.mean(), 0.35);
  EXPECT_TRUE(close.learned());
}

struct Recovery {
  std::int64_t covered = 0;
  double off = 0.0, off_square = 0.0, sd = 0.0;
};
template <class Individuals, class Share>
Recovery recover(int gardens, int pairs, std::uint64_t seed, const Share& share, const Individuals& individuals) {
  Recovery recovery;
  for (int garden = 0; garden < gardens; ++garden) {
    num::Draws draws({.seed = seed, .member = static_cast<std::uint32_t>(garden)});
    const double p = share(draws);
    auto detection = Detection::of(0.55, 0.18).value();
    for (int i = 0; i < pairs; ++i) {
      const std::int64_t n = individuals(draws);
      detection.learn({draws.binomial(n, p), draws.binomial(n, p), 20});
    }
    if (p >= detection.quantile(0.05) && p <= detection.quantile(0.95)) ++recovery.covered;
    const double off = detection.mean() - p;
    recovery.off += off / gardens;
    recovery.off_square += off * off / gardens;
    recovery.sd += detection.sd() / gardens;
  }
  return recovery;
}

// A share from the prior, individuals from another law than the one assumed.
TEST(Detection, RecoversAShareWithinItsOwnInterval) {
  const auto share = [](num::Draws& draws) {
    const double size = 0.55 * 0.45 / (0.18 * 0.18) - 1.0;
    const double a = draws.gamma(0.55 * size);
    return a / (a + draws.gamma(0.45 * size));
  };
  const int gardens = 150;
  const Hits range = expected_hits(gardens, 0.9, 0.999);
  const auto wide =
      recover(gardens, 25, 1, share, [](num::Draws& draws) { return static_cast<std::int64_t>(5.0 * std::exp(4.0 * draws.uniform())); });
  EXPECT_GE(wide.covered, range.low);
  EXPECT_LE(wide.covered, range.high);
  EXPECT_LT(std::abs(wide.off), 4.0 * std::sqrt(wide.off_square / gardens));
  EXPECT_LT(wide.sd, 0.6 * 0.18);  // it has learned
  const auto alike = recover(gardens, 25, 2, share, [](num::Draws& draws) { return draws.poisson(100.0); });
  EXPECT_GE(alike.covered, range.low);
  EXPECT_LE(alike.covered, range.high);
  EXPECT_LT(std::abs(alike.off), 4.0 * std::sqrt(alike.off_square / gardens));
  // Few individuals: less is learned, and it says so.
  const auto few = recover(gardens, 25, 3, share, [](num::Draws& draws) { return draws.poisson(3.0); });
  EXPECT_GE(few.covered, range.low);
  EXPECT_LE(few.covered, range.high);
  EXPECT_GT(few.sd, alike.sd);
}

// A fixed share, away from the prior's middle: many pairs find it all the same.
TEST(Detection, ManyPairsOverruleThePrior) {
  for (const double p : {0.3, 0.85}) {
    const auto result = recover(24, 200, 10, [p](num::Draws&) { return p; }, [](num::Draws& draws) { return draws.poisson(60.0); });
    EXPECT_LT(std::abs(result.off), 0.04) << p;
    EXPECT_LT(result.sd, 0.06) << p;
    EXPECT_GE(result.covered, expected_hits(24, 0.9, 0.999).low) << p;
  }
}

}  // namespace
}  // namespace leafturn::population
