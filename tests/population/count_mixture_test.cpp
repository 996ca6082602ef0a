// The mixture of an ensemble, against the mixture summed member by member, its draws and its own laws.

#include "core/population/count_mixture.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "core/base/random.hpp"
#include "core/population/scores.hpp"

namespace leafturn::population {
namespace {

constexpr double inf = std::numeric_limits<double>::infinity();

struct Members {
  std::vector<NegativeBinomial> parts;
  std::vector<double> weights;
};

// Member by member, at every count in [0, upto].
std::vector<double> plain_sums(const Members& members, int upto) {
  std::vector<double> p(static_cast<std::size_t>(upto) + 1, 0.0);
  double total = 0.0;
  for (const double w : members.weights) total += w;
  for (std::size_t i = 0; i < members.parts.size(); ++i) {
    const auto [mean, k] = members.parts[i];
    // Started where it begins to matter, so that no probability is lost below the smallest double.
    auto n = static_cast<std::int64_t>(std::max(0.0, mean - 12.0 * std::sqrt(variance(members.parts[i]))));
    double term = probability(members.parts[i], n) * members.weights[i] / total;
    for (; n <= upto; ++n) {
      p[static_cast<std::size_t>(n)] += term;
      term *= (1.0 + static_cast<double>(n) / k) / (1.0 + mean / k) * mean / static_cast<double>(n + 1);
    }
  }
  for (std::size_t n = 1; n < p.size(); ++n) p[n] += p[n - 1];
  return p;
}

double plain_crps(const std::vector<double>& up_to, std::int64_t came) {
  double score = 0.0;
  for (std::size_t n = 0; n < up_to.size(); ++n) {
    const double miss = up_to[n] - (static_cast<std::int64_t>(n) >= came ? 1.0 : 0.0);
    score += miss * miss;
  }
  return score;
}

// A cloud as a filter leaves it: log-normal means, dispersion scattered or following the mean.
Members cloud(std::uint64_t seed, std::size_t n, double centre, double spread, double k, double k_spread) {
  num::Draws draws({.seed = seed, .use = num::Use::test});
  Members members;
  for (std::size_t i = 0; i < n; ++i) {
    members.parts.push_back({centre * std::exp(spread * draws.normal()), std::isinf(k) ? inf : k * std::exp(k_spread * draws.normal())});
    members.weights.push_back(draws.exponential());
  }
  return members;
}

struct Case {
  std::size_t n;
  double centre, spread, k, k_spread;
  int upto;
};
const std::vector<Case> cases{
    {4096, 0.03, 1.5, 0.4, 0.5, 4000}, {4096, 3.0, 1.2, 1.0, 0.5, 6000},     {4096, 40.0, 0.8, 2.0, 0.3, 9000},
    {4096, 40.0, 0.6, inf, 0.0, 4000}, {300, 15.0, 0.3, 8.0, 0.2, 2000},     {1024, 700.0, 0.5, 30.0, 1.0, 20000},
    {17, 5.0, 0.1, 3.0, 0.1, 3000},    {1024, 5000.0, 0.3, inf, 0.0, 40000}, {150, 9000.0, 0.4, 1.5, 0.3, 300000}};

TEST(CountMixture, IsTheMixtureOfItsMembers) {
  double all_sum = 0.0, all_crps = 0.0, all_log = 0.0;
  std::uint64_t seed = 40;
  for (const Case& c : cases) {
    double worst_sum = 0.0, worst_crps = 0.0, worst_log = 0.0;
    const Members members = cloud(++seed, c.n, c.centre, c.spread, c.k, c.k_spread);
    const auto mixture = CountMixture::of(members.parts, members.weights);
    ASSERT_TRUE(mixture.has_value());
    const auto expected = plain_sums(members, c.upto);
    ASSERT_GT(expected.back(), 1.0 - 1e-7) << "the test's own range";
    double total = 0.0, mean = 0.0, square = 0.0;
    for (std::size_t i = 0; i < members.parts.size(); ++i) {
      total += members.weights[i];
      mean += members.weights[i] * members.parts[i].mean;
      square += members.weights[i] * (variance(members.parts[i]) + members.parts[i].mean * members.parts[i].mean);
    }
    mean /= total;
    const double spread = square / total - mean * mean;
    EXPECT_NEAR(mixture->mean(), mean, 1e-10 * mean);
    EXPECT_NEAR(mixture->variance(), spread, 1e-10 * spread);
    EXPECT_NEAR(mixture->p_zero(), expected[0], 3e-4);
    for (int n = 0; n <= c.upto; n += 1 + n / 300) {
      const double here = expected[static_cast<std::size_t>(n)];
      worst_sum = std::max(worst_sum, std::abs(mixture->probability_up_to(n) - here));
      const double one = n == 0 ? here : here - expected[static_cast<std::size_t>(n) - 1];
      if (one > 1e-9) worst_log = std::max(worst_log, std::abs(mixture->log_score(n) + std::log(one)));
    }
    for (const double level : {0.0, 0.01, 0.3, 0.5, 0.8, 0.99, 0.9999}) {
      const auto came = std::lower_bound(expected.begin(), expected.end(), level) - expected.begin();
      worst_crps = std::max(worst_crps, std::abs(mixture->crps(came) - plain_crps(expected, came)) / std::sqrt(spread));
    }
    all_sum = std::max(all_sum, worst_sum);
    all_crps = std::max(all_crps, worst_crps);
    all_log = std::max(all_log, worst_log);
    EXPECT_NEAR(mixture->crps(c.upto + 1000) - mixture->crps(c.upto), 1000.0, 1e-3);
  }
  EXPECT_LT(all_sum, 3e-4);
  EXPECT_LT(all_crps, 2e-4);
  EXPECT_LT(all_log, 0.02);
}

TEST(CountMixture, AFewMembersStayThemselves) {
  for (const NegativeBinomial one :
       {NegativeBinomial{0.0, 1.0}, NegativeBinomial{0.7, 0.3}, NegativeBinomial{25.0, inf}, NegativeBinomial{300.0, 4.0}}) {
    const auto mixture = CountMixture::of(std::vector{one});
    ASSERT_TRUE(mixture.has_value());
    for (const std::int64_t n : {0, 1, 5, 30, 280, 900, 2500}) {
      EXPECT_NEAR(mixture->probability_up_to(n), probability_up_to(one, n), 1e-10);
      EXPECT_NEAR(mixture->crps(n), crps_counts(one, n), 1e-8 * (1.0 + crps_counts(one, n)));
      const double logs = log_score_counts(one, n);
      if (std::isfinite(logs)) {
        EXPECT_NEAR(mixture->log_score(n), logs, 1e-9);
      } else {
        EXPECT_EQ(mixture->log_score(n), logs);
      }
    }
    for (const double p : {0.0, 0.1, 0.5, 0.95, 0.999}) EXPECT_EQ(mixture->quantile(p), quantile(one, p));
  }
  // Beyond the exact range: one narrow and one wide member.
  const std::vector<NegativeBinomial> two{{20000.0, inf}, {60000.0, 0.8}};
  const auto mixture = CountMixture::of(two, std::vector{1.0, 3.0});
  ASSERT_TRUE(mixture.has_value());
  const auto expected = plain_sums({two, {1.0, 3.0}}, 3'000'000);
  for (const std::int64_t n : {100, 4095, 4096, 5000, 19800, 20000, 20100, 60000, 250000, 1000000}) {
    EXPECT_NEAR(mixture->probability_up_to(n), expected[static_cast<std::size_t>(n)], 2e-6) << n;
    EXPECT_NEAR(mixture->crps(n), plain_crps(expected, n), 2e-6 * std::sqrt(mixture->variance())) << n;
  }
}

TEST(CountMixture, QuantilesDrawsAndIntervals) {
  std::uint64_t seed = 60;
  for (const Case& c : cases) {
    const Members members = cloud(++seed, std::min<std::size_t>(c.n, 600), c.centre, c.spread, c.k, c.k_spread);
    const auto mixture = CountMixture::of(members.parts, members.weights).value();
    std::int64_t last = 0;
    for (const double p : {0.0, 0.001, 0.05, 0.25, 0.5, 0.75, 0.95, 0.999, 1.0 - 1e-6}) {
      const auto n = mixture.quantile(p);
      EXPECT_GE(n, last);
      EXPECT_GE(mixture.probability_up_to(n), p);
      if (n > 0) {
        EXPECT_LT(mixture.probability_up_to(n - 1), p);
      }
      last = n;
    }
    double before = -1.0;
    for (std::int64_t n = 0; n < c.upto; n += 1 + n / 50) {
      EXPECT_GE(mixture.probability_up_to(n), before);
      before = mixture.probability_up_to(n);
    }
    // Draws fall where the distribution says: ten bins of their randomised PIT.
    num::Draws draws({.seed = seed, .member = 1});
    std::array<int, 10> bins{};
    const int runs = 3000;
    for (int run = 0; run < runs; ++run) {
      const PitInterval at = mixture.pit_interval(mixture.sample(draws.uniform()));
      ++bins[static_cast<std::size_t>(std::min(randomised_pit(at, draws.uniform()) * 10.0, 9.0))];
    }
    double chi2 = 0.0;
    for (const int n : bins) chi2 += (n - runs / 10.0) * (n - runs / 10.0) / (runs / 10.0);
    EXPECT_LT(chi2, 29.7) << c.centre;  // 99.95 % of chi-square with 9 degrees of freedom
  }
}

TEST(CountMixture, TheOrderOfMembersAndEqualWeightsChangeNothing) {
  const Members members = cloud(71, 1000, 6.0, 1.0, 1.0, 0.4);
  const auto equal = CountMixture::of(members.parts).value();
  const auto same = CountMixture::of(members.parts, std::vector<double>(1000, 0.5)).value();
  EXPECT_NEAR(equal.crps(4), same.crps(4), 1e-12);
  EXPECT_EQ(equal.quantile(0.9), same.quantile(0.9));
  auto turned = members.parts;
  std::reverse(turned.begin(), turned.end());
  EXPECT_NEAR(CountMixture::of(turned).value().crps(4), equal.crps(4), 1e-12);
  auto with_void = members;
  with_void.parts.push_back({1e5, 1.0});
  with_void.weights.push_back(0.0);
  EXPECT_NEAR(CountMixture::of(with_void.parts, with_void.weights)->mean(), CountMixture::of(members.parts, members.weights)->mean(),
              1e-10);
}

// F becomes 1 − (1 − F^a)^b at every count, and mean, variance, quantiles and score follow from it; by nodes too, far beyond the tables.
TEST(CountMixture, SetRightByExperience) {
  for (const double scale : {1.0, 4000.0}) {
    const std::vector<NegativeBinomial> parts{{2.0 * scale, 1.5}, {5.0 * scale, 0.8}};
    const auto mixture = CountMixture::of(parts);
    ASSERT_TRUE(mixture);
    for (const auto& [a, b] : {std::pair{1.0, 1.0}, {0.8, 0.9}, {1.6, 1.3}}) {
      const CountMixture right = mixture->set_right(a, b);
      double mean = 0.0, square = 0.0, score = 0.0;
      const auto upto = static_cast<std::int64_t>(400.0 * scale);
      const auto came = static_cast<std::int64_t>(3.0 * scale);
      for (std::int64_t n = 0; n <= upto; ++n) {
        const double f = 1.0 - std::pow(1.0 - std::pow(mixture->probability_up_to(n), a), b);
        if (n % std::max<std::int64_t>(1, upto / 997) == 0) {
          EXPECT_NEAR(right.probability_up_to(n), f, 2e-3 / scale + 1e-3 * (scale > 1.0));
        }
        mean += 1.0 - f;
        square += (2.0 * static_cast<double>(n) + 1.0) * (1.0 - f);
        score += (f - (n >= came ? 1.0 : 0.0)) * (f - (n >= came ? 1.0 : 0.0));
      }
      EXPECT_NEAR(right.mean() / mean, 1.0, 2e-3);
      EXPECT_NEAR(right.variance() / (square - mean * mean), 1.0, 6e-3);
      EXPECT_NEAR(right.crps(came) / score, 1.0, 4e-3);
      const std::int64_t median = right.quantile(0.5);
      EXPECT_GE(right.probability_up_to(median), 0.5);
      EXPECT_LT(right.probability_up_to(median - 1), 0.5);
      EXPECT_EQ(right.sample(0.3), right.quantile(0.3));
    }
    EXPECT_NEAR(mixture->set_right(1.0, 1.0).mean() / mixture->mean(), 1.0, 1e-3);
    EXPECT_LT(mixture->set_right(1.6, 1.6).variance(), mixture->variance());
  }
}

TEST(CountMixture, WhatIsNoMixture) {
  const NegativeBinomial good{1.0, 1.0};
  EXPECT_FALSE(CountMixture::of({}).has_value());
  EXPECT_FALSE(CountMixture::of(std::vector{good}, std::vector{0.0}).has_value());
  EXPECT_FALSE(CountMixture::of(std::vector{good}, std::vector{1.0, 1.0}).has_value());
  EXPECT_FALSE(CountMixture::of(std::vector{good}, std::vector{-1.0}).has_value());
  EXPECT_FALSE(CountMixture::of(std::vector{good, good}, std::vector{1.0, std::nan("")}).has_value());
  for (const NegativeBinomial bad : {NegativeBinomial{-1.0, 1.0}, NegativeBinomial{std::nan(""), 1.0}, NegativeBinomial{inf, 1.0},
                                     NegativeBinomial{1.0, 0.0}, NegativeBinomial{1.0, std::nan("")}})
    EXPECT_FALSE(CountMixture::of(std::vector{good, bad}).has_value());
  EXPECT_EQ(CountMixture::of(std::vector{NegativeBinomial{0.0, 1.0}}).value().quantile(0.99), 0);
}

}  // namespace
}  // namespace leafturn::population
