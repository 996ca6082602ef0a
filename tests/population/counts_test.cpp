// The negative binomial, against sums of its probabilities in long double and against the beta and Poisson cases known by hand.

#include "core/population/counts.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "core/base/random.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using test::check_row;
using test::From;

constexpr double inf = std::numeric_limits<double>::infinity();

// From the probability of none by ratios, in long double.
std::vector<long double> by_ratios(double mean, double k, int upto) {
  std::vector<long double> p;
  const long double m = mean;
  const long double per_k = std::isinf(k) ? 0.0L : 1.0L / static_cast<long double>(k);
  p.push_back(per_k > 0.0L ? std::exp(-std::log1p(m * per_k) / per_k) : std::exp(-m));
  for (int n = 0; n < upto; ++n) p.push_back(p.back() * (1.0L + n * per_k) / (1.0L + m * per_k) * m / (n + 1.0L));
  return p;
}

TEST(Counts, ProbabilitiesAndTheirSums) {
  for (const double k : {0.05, 0.7, 1.0, 3.0, 40.0, 999.5, 1e4, 1.0001e4, 1e6, 1e9, 1e13, inf})
    for (const double mean : {1e-6, 0.3, 1.0, 4.0, 50.0, 700.0, 5000.0}) {
      const auto p = by_ratios(mean, k, 20000);
      if (p[0] < 1e-4000L) continue;
      long double sum = 0.0L;
      for (int n = 0; n <= 20000; ++n) {
        sum += p[static_cast<std::size_t>(n)];
        if (n > 40 && n % 97 != 0) continue;
        const NegativeBinomial counts{mean, k};
        const long double expected = p[static_cast<std::size_t>(n)];
        // by_ratios itself is good to about n·1e-19 relative; below doubles only −∞ or a very small number is right.
        if (expected > 1e-290L) {
          EXPECT_NEAR(log_probability(counts, n), static_cast<double>(std::log(expected)), 1e-11) << mean << ' ' << k << ' ' << n;
        }
        EXPECT_NEAR(probability_up_to(counts, n), static_cast<double>(std::min(sum, 1.0L)), 1e-11) << mean << ' ' << k << ' ' << n;
      }
    }
}

TEST(Counts, TheEdges) {
  const NegativeBinomial none{0.0, 2.0};
  EXPECT_EQ(probability(none, 0), 1.0);
  EXPECT_EQ(probability(none, 1), 0.0);
  EXPECT_EQ(probability_up_to(none, 0), 1.0);
  EXPECT_EQ(quantile(none, 0.999), 0);
  const NegativeBinomial some{3.0, 2.0};
  EXPECT_EQ(log_probability(some, -1), -inf);
  EXPECT_EQ(probability_up_to(some, -1), 0.0);
  EXPECT_EQ(quantile(some, 0.0), 0);
  EXPECT_DOUBLE_EQ(variance(some), 7.5);
  EXPECT_DOUBLE_EQ(variance({3.0, inf}), 3.0);
  // k = 1 is geometric: P(N > n) = (m/(1 + m))^(n + 1).
  for (const double mean : {0.2, 5.0, 1e5})
    for (const int n : {0, 3, 50, 100000, 1000000})
      EXPECT_NEAR(1.0 - probability_up_to({mean, 1.0}, n), std::pow(mean / (1.0 + mean), n + 1.0), 1e-11) << mean << ' ' << n;
}

TEST(Counts, TheQuantileIsTheFirstThatReaches) {
  for (const double k : {0.3, 2.0, inf})
    for (const double mean : {0.1, 7.0, 300.0, 1e5})
      for (const double p : {1e-6, 0.05, 0.5, 0.95, 1.0 - 1e-9}) {
        const NegativeBinomial counts{mean, k};
        const auto n = quantile(counts, p);
        EXPECT_GE(probability_up_to(counts, n), p);
        EXPECT_LT(probability_up_to(counts, n - 1), p);
      }
}

// Far from where sums in long double can follow: against the normal limit's known correction terms would be weaker, so against the sum of
// the probabilities themselves, which the first test has checked.
TEST(Counts, LargeCountsAddUp) {
  for (const NegativeBinomial counts :
       {NegativeBinomial{1e5, inf}, NegativeBinomial{1e5, 1e5}, NegativeBinomial{1e5, 50.0}, NegativeBinomial{1e5, 2e4}}) {
    const double sd = std::sqrt(variance(counts));
    const auto first = static_cast<std::int64_t>(1e5 - 8.0 * sd);
    const auto last = static_cast<std::int64_t>(1e5 + 14.0 * sd);
    double sum = probability_up_to(counts, first - 1);
    for (auto n = first; n <= last; ++n) {
      sum += probability(counts, n);
      if (n % 5003 == 0) {
        EXPECT_NEAR(sum, probability_up_to(counts, n), 1e-10) << n;
      }
    }
    EXPECT_NEAR(sum, 1.0, 1e-9);
  }
}

TEST(Counts, MitesOnAppleLeaves) {
  const std::vector<int> leaves{70, 38, 17, 10, 9, 3, 2, 1};
  std::vector<std::int64_t> mites;
  for (std::size_t n = 0; n < leaves.size(); ++n)
    mites.insert(mites.end(), static_cast<std::size_t>(leaves[n]), static_cast<std::int64_t>(n));
  const auto fit = most_likely(mites);
  ASSERT_TRUE(fit.has_value());
  const std::string source = "Bliss & Fisher 1953 (Biometrics 9:176-200), European red mite on 150 apple leaves";
  check_row({"mites.mean", "mean mites a leaf", source, "seen", From::independent, 1.1466666667, 1e-9, "mites"}, fit->mean);
  check_row(
      {"mites.k", "most likely k", source + ", counts as printed, root recomputed", "seen", From::independent, 1.0245923868, 1e-8, ""},
      fit->k);
  check_row({"mites.k.printed", "most likely k as printed", source, "memory", From::memory, 1.0246, 5e-5, ""}, fit->k);
  double loglik = 0.0;
  double poisson = 0.0;
  for (const std::int64_t n : mites) {
    loglik += log_probability(*fit, n);
    poisson += log_probability({fit->mean, inf}, n);
  }
  check_row(
      {"mites.loglik", "log-likelihood, negative binomial", source + ", recomputed", "derived", From::independent, -222.43715360, 1e-7, ""},
      loglik);
  check_row(
      {"mites.loglik.poisson", "log-likelihood, Poisson", source + ", recomputed", "derived", From::independent, -242.80994082, 1e-7, ""},
      poisson);
  check_row({"mites.zero", "leaves of 150 without a mite, mean 1.1466666667, k 1.0245923868",
             "Bliss & Fisher 1953 (Biometrics 9:176-200), k by maximum likelihood; expected class recomputed", "derived", From::independent,
             69.4880, 1e-4, "leaves"},
            150.0 * probability({172.0 / 150.0, 1.0245923868}, 0));
  const std::vector<double> expected{37.5999, 20.1011, 10.7026, 5.6869, 3.0181, 1.6004, 0.8482};
  for (std::size_t i = 0; i < expected.size(); ++i)
    check_row({"mites." + std::to_string(i + 1), "leaves of 150 with " + std::to_string(i + 1) + " mites",
               "Bliss & Fisher 1953, expected classes recomputed", "derived", From::independent, expected[i], 1e-4, "leaves"},
              150.0 * probability({172.0 / 150.0, 1.0245923868}, static_cast<std::int64_t>(i) + 1));
  check_row({"mites.tail", "leaves of 150 with 8 mites or more", "Bliss & Fisher 1953, expected classes recomputed", "derived",
             From::independent, 0.9548, 1e-4, "leaves"},
            150.0 * (1.0 - probability_up_to({172.0 / 150.0, 1.0245923868}, 7)));
}

TEST(Counts, TheMostLikelyIsATop) {
  num::Draws draws({.seed = 4});
  for (int run = 0; run < 40; ++run) {
    std::vector<std::int64_t> counts;
    for (int i = 0; i < 30 + run; ++i) counts.push_back(draws.negative_binomial(0.3 + run, 0.4 + 0.1 * run));
    const auto fit = most_likely(counts);
    ASSERT_TRUE(fit.has_value());
    const auto loglik = [&](NegativeBinomial of) {
      double sum = 0.0;
      for (const std::int64_t n : counts) sum += log_probability(of, n);
      return sum;
    };
    const double top = loglik(*fit);
    for (const double mean : {0.95, 1.0, 1.05})
      for (const double k : {0.9, 0.99, 1.01, 1.1}) EXPECT_LE(loglik({fit->mean * mean, fit->k * k}), top + 1e-9);
  }
  EXPECT_FALSE(most_likely({}).has_value());
  EXPECT_FALSE(most_likely(std::vector<std::int64_t>{1, -1}).has_value());
  EXPECT_EQ(most_likely(std::vector<std::int64_t>{2, 2, 2})->k, inf);
  EXPECT_EQ(most_likely(std::vector<std::int64_t>{0, 0})->mean, 0.0);
}

}  // namespace
}  // namespace leafturn::population
