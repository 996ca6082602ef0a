// Scores, against the worked numbers of the reference, against sums by hand, and for what makes a score proper: none does better on average
// than the truth.

#include "core/population/scores.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "core/base/normal.hpp"
#include "core/base/random.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using test::check_row;
using test::From;

constexpr double inf = std::numeric_limits<double>::infinity();

TEST(Scores, OfANormalForecast) {
  const std::string source = "Gneiting & Raftery 2007, closed form of the CRPS";
  const auto row = [&](const char* id, const char* what, double expected, double got) {
    check_row({id, what, source, "derived", From::independent, expected, 1e-11, ""}, got);
  };
  row("score.SC01", "CRPS N(0,1), 0 came", 0.233694977255, crps_normal(0, 1, 0));
  row("score.SC02", "CRPS N(0,1), 1 came", 0.602441357628, crps_normal(0, 1, 1));
  row("score.SC03.crps", "CRPS N(5, sd 2), 8 came", 1.988848007955, crps_normal(5, 2, 8));
  row("score.SC03.log", "log score N(5, sd 2), 8 came", 2.737085713765, log_score_normal(5, 2, 8));
  row("score.SC03.pit", "PIT of N(5, sd 2), 8 came", 0.933192798731, num::normal_cdf(1.5));
  row("score.SC04", "CRPS N(10, sd 3), 4 came", 4.358375465058, crps_normal(10, 3, 4));
  EXPECT_NEAR(crps_normal(3, 1e-9, 7), 4.0, 1e-8);  // one value: the absolute error
}

TEST(Scores, OfAnEnsemble) {
  const std::string source = "Gneiting & Raftery 2007; fair: Ferro 2014; by hand";
  const auto rows = [&](const std::string& id, const std::vector<double>& members, double came, double plain, double fair) {
    check_row({"score." + id + ".plain", "ensemble CRPS, " + std::to_string(came) + " came", source, "derived", From::independent, plain,
               1e-12, ""},
              crps_ensemble(members, came));
    check_row({"score." + id + ".fair", "fair ensemble CRPS, " + std::to_string(came) + " came", source, "derived", From::independent, fair,
               1e-12, ""},
              crps_ensemble_fair(members, came));
  };
  rows("SC05", {1, 2, 3, 4, 5}, 3.5, 0.5, 0.3);
  rows("SC06", {4, 0, 1, 0}, 2, 0.9375, 0.666666666667);
  rows("SC07", {10, 15, 12}, 20, 6.555555555556, 6.0);
  EXPECT_TRUE(std::isnan(crps_ensemble({}, 1.0)));
  EXPECT_TRUE(std::isnan(crps_ensemble_fair(std::vector<double>{1.0}, 1.0)));
  EXPECT_DOUBLE_EQ(crps_ensemble(std::vector<double>{1.0}, 3.5), 2.5);

  num::Draws draws({.seed = 1});
  for (int run = 0; run < 50; ++run) {
    std::vector<double> members(static_cast<std::size_t>(2 + run));
    for (double& x : members) x = static_cast<double>(draws.negative_binomial(3.0, 0.7));
    const double came = 4.0;
    double error = 0.0;
    double pairs = 0.0;
    for (const double a : members) {
      error += std::abs(a - came);
      for (const double b : members) pairs += std::abs(a - b);
    }
    const auto n = static_cast<double>(members.size());
    EXPECT_NEAR(crps_ensemble(members, came), error / n - pairs / (2 * n * n), 1e-11);
    EXPECT_NEAR(crps_ensemble_fair(members, came), error / n - pairs / (2 * n * (n - 1)), 1e-11);
  }
}

TEST(Scores, OfCounts) {
  const std::string source = "Czado, Gneiting & Held 2009, sum over counts";
  check_row({"score.SC08", "CRPS Poisson(4), 6 came", source, "derived", From::independent, 1.280572062328, 1e-10, ""},
            crps_counts({4, inf}, 6));
  check_row(
      {"score.SC09.6", "CRPS negative binomial mean 4, k 1.2, 6 came", source, "derived", From::independent, 1.781660492463, 1e-10, ""},
      crps_counts({4, 1.2}, 6));
  check_row({"score.SC09.0", "the same, 0 came", source, "derived", From::independent, 1.891395920652, 1e-10, ""},
            crps_counts({4, 1.2}, 0));
  const PitInterval at = pit_interval({4, inf}, 3);
  check_row({"score.SC12.below", "PIT interval Poisson(4), 3 came: from", source, "derived", From::independent, 0.2381033056, 1e-10, ""},
            at.below);
  check_row({"score.SC12.upto", "PIT interval Poisson(4), 3 came: to", source, "derived", From::independent, 0.4334701204, 1e-10, ""},
            at.up_to);
  EXPECT_NEAR(log_score_counts({4, inf}, 3), -std::log(std::exp(-4.0) * 64.0 / 6.0), 1e-12);
  EXPECT_DOUBLE_EQ(crps_counts({0.0, 1.0}, 7), 7.0);
  EXPECT_EQ(log_score_counts({0.0, 1.0}, 7), inf);
  EXPECT_EQ(log_score_counts({0.0, 1.0}, 0), 0.0);
}

// Where sums would be endless. k = 1 is geometric, q = m/(1 + m): Σ (F − 1{n ≥ y})² in closed form.
TEST(Scores, OfCountsBeyondCounting) {
  for (const double mean : {3000.0, 4999.0, 5001.0, 1e5, 1e7})
    for (const double share : {0.0, 0.5, 2.0}) {
      const auto came = std::floor(share * mean);
      const long double q = mean / (1.0L + mean);
      const long double at = std::pow(q, static_cast<long double>(came));
      // Σ_{n<y} (1 − q^(n+1))² + Σ_{n≥y} q^(2n+2)
      const long double expected = came - 2.0L * q * (1.0L - at) / (1.0L - q) + q * q / (1.0L - q * q);
      EXPECT_NEAR(crps_counts({mean, 1.0}, static_cast<std::int64_t>(came)), static_cast<double>(expected), 2e-6 * mean) << mean;
    }
  // A tail as long as this has to end somewhere, and soon.
  EXPECT_GT(crps_counts({100.0, 1e-6}, 1000), 900.0);
  EXPECT_LT(crps_counts({100.0, 1e-6}, 1000), 1000.0);
}

// E|X − y| − ½E|X − X'| by another road: many quantiles of the same distribution as an ensemble.
TEST(Scores, ACountsScoreIsThatOfItsOwnQuantiles) {
  for (const NegativeBinomial forecast :
       {NegativeBinomial{0.2, 0.5}, NegativeBinomial{12.0, 0.8}, NegativeBinomial{900.0, inf}, NegativeBinomial{3000.0, 30.0}})
    for (const double share : {0.0, 0.5, 1.0, 3.0}) {
      std::vector<double> members;
      for (int i = 0; i < 4000; ++i) members.push_back(static_cast<double>(quantile(forecast, (i + 0.5) / 4000.0)));
      const auto came = static_cast<std::int64_t>(share * forecast.mean);
      const double sd = std::sqrt(variance(forecast));
      EXPECT_NEAR(crps_counts(forecast, came), crps_ensemble(members, static_cast<double>(came)), 2e-3 * sd);
    }
}

TEST(Scores, OfIntervalsAndClasses) {
  const std::string source = "Gneiting & Raftery 2007, by hand";
  check_row({"score.SC10.in", "interval [2, 8], alpha .1, 5 came", source, "derived", From::independent, 6, 1e-12, ""},
            interval_score(2, 8, .1, 5));
  check_row({"score.SC10.above", "interval [2, 8], alpha .1, 9 came", source, "derived", From::independent, 26, 1e-12, ""},
            interval_score(2, 8, .1, 9));
  check_row({"score.SC10.below", "interval [2, 8], alpha .2, 1.5 came", source, "derived", From::independent, 11, 1e-12, ""},
            interval_score(2, 8, .2, 1.5));
  check_row({"score.SC11", "RPS of (.2, .5, .3), the third came", source, "derived", From::independent, 0.53, 1e-12, ""},
            ranked_probability_score(std::array<double, 3>{.2, .5, .3}, 2));
  const std::string hits = "binomial quantiles at 2.5 and 97.5 %";
  const auto range = [&](const std::string& id, Hits got, double low, double high) {
    check_row({"score.SC13." + id + ".low", "fewest hits expected", hits, "derived", From::independent, low, 0, "hits"},
              static_cast<double>(got.low));
    check_row({"score.SC13." + id + ".high", "most hits expected", hits, "derived", From::independent, high, 0, "hits"},
              static_cast<double>(got.high));
  };
  range("90of40", expected_hits(40, 0.9), 32, 39);
  range("80of100", expected_hits(100, 0.8), 72, 88);
}

// The expected score over what comes from the truth is least when the forecast is the truth.
TEST(Scores, NoForecastBeatsTheTruthOnAverage) {
  for (const NegativeBinomial truth : {NegativeBinomial{0.4, 0.6}, NegativeBinomial{5.0, 1.5}, NegativeBinomial{20.0, inf}}) {
    const auto expected = [&](auto score) {
      double sum = 0.0;
      for (std::int64_t n = 0; n < 400; ++n) sum += probability(truth, n) * score(n);
      return sum;
    };
    const double crps = expected([&](std::int64_t n) { return crps_counts(truth, n); });
    const double logs = expected([&](std::int64_t n) { return log_score_counts(truth, n); });
    for (const double mean : {0.5, 0.8, 0.95, 1.0, 1.05, 1.3, 2.0})
      for (const double k : {0.3, 0.9, 1.0, 1.1, 5.0}) {
        if (std::abs(mean - 1.0) < 0.01 && (std::abs(k - 1.0) < 0.01 || std::isinf(truth.k))) continue;
        const NegativeBinomial other{truth.mean * mean, truth.k * k};
        EXPECT_GT(expected([&](std::int64_t n) { return crps_counts(other, n); }), crps);
        EXPECT_GT(expected([&](std::int64_t n) { return log_score_counts(other, n); }), logs);
      }
    // An interval between the truth's own 5 and 95 % quantiles is not beaten by another.
    const auto low = static_cast<double>(quantile(truth, 0.05));
    const auto high = static_cast<double>(quantile(truth, 0.95));
    const auto interval = [&](double l, double h) {
      return expected([&](std::int64_t n) { return interval_score(l, h, 0.1, static_cast<double>(n)); });
    };
    for (double dl = -2.0; dl <= 2.0; dl += 0.5)
      for (double dh = -2.0; dh <= 2.0; dh += 0.5) EXPECT_GE(interval(low + dl, high + dh), interval(low, high) - 1e-12);
  }
}

// E[crps_normal] over the truth by midpoints in probability space would repeat the formula; draws don't.
TEST(Scores, FairEnsemblesAreScoredAsTheirDistribution) {
  num::Draws draws({.seed = 5});
  const int runs = 40000;
  double fair = 0.0, fair_square = 0.0, plain = 0.0, whole = 0.0;
  for (int run = 0; run < runs; ++run) {
    const double came = draws.normal();
    std::array<double, 5> members{};
    for (double& x : members) x = draws.normal();
    const double difference = crps_ensemble_fair(members, came) - crps_normal(0, 1, came);
    fair += difference / runs;
    fair_square += difference * difference / runs;
    plain += crps_ensemble(members, came) / runs;
    whole += crps_normal(0, 1, came) / runs;
  }
  EXPECT_NEAR(fair, 0.0, 4.0 * std::sqrt(fair_square / runs));
  EXPECT_GT(plain, whole + 0.05);  // by 1/(2n)·E|X − X'| = 0.113
}

TEST(Scores, CalibratedForecastsCoverExactlyWhatTheySay) {
  for (const NegativeBinomial forecast :
       {NegativeBinomial{0.05, 0.4}, NegativeBinomial{0.8, 1.0}, NegativeBinomial{6.0, 2.0}, NegativeBinomial{40.0, inf}})
    for (const double level : {0.5, 0.8, 0.9, 0.95}) {
      const double low = 0.5 * (1.0 - level);
      double exact = 0.0;
      double plain = 0.0;
      const auto first = quantile(forecast, low);
      const auto last = quantile(forecast, 1.0 - low);
      for (std::int64_t n = 0; n < 600; ++n) {
        const PitInterval at = pit_interval(forecast, n);
        exact += probability(forecast, n) * covered(at, low, 1.0 - low);
        if (n >= first && n <= last) plain += probability(forecast, n);
      }
      EXPECT_NEAR(exact, level, 1e-10);
      EXPECT_GE(plain, exact - 1e-12);
    }
  EXPECT_EQ(covered({0.4, 0.4}, 0.05, 0.95), 1.0);
  EXPECT_EQ(covered({0.99, 0.99}, 0.05, 0.95), 0.0);
  EXPECT_EQ(covered({0.0, 1.0}, 0.05, 0.95), 0.95 - 0.05);
}

TEST(Scores, TheRandomisedPitOfCalibratedCountsIsUniform) {
  num::Draws draws({.seed = 8});
  const int runs = 20000;
  std::array<int, 10> bins{};
  for (int run = 0; run < runs; ++run) {
    const NegativeBinomial forecast{0.1 + 3.0 * draws.uniform(), 0.5 + draws.uniform()};
    const auto came = draws.negative_binomial(forecast.mean, forecast.k);
    const double pit = randomised_pit(pit_interval(forecast, came), draws.uniform());
    ++bins[static_cast<std::size_t>(pit * 10.0)];
  }
  double chi2 = 0.0;
  for (const int n : bins) chi2 += (n - runs / 10.0) * (n - runs / 10.0) / (runs / 10.0);
  EXPECT_LT(chi2, 27.9);  // 99.9 % of chi-square with 9 degrees of freedom
}

}  // namespace
}  // namespace leafturn::population
