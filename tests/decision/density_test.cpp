#include "core/decision/density.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tests/support/check_rows.hpp"

namespace leafturn::decision {
namespace {

TEST(Density, MeanAndVarianceAreThoseOfANegativeBinomialSample) {
  // 11 on 20 plants: mean 0.575 with the half added; variance of a mean of 20 plants m/20 + m²/(20 k) = m²(1/11.5 + 1/20).
  const Density d = density_of(11, 20);
  EXPECT_NEAR(d.mean, 0.575, 1e-12);
  EXPECT_NEAR(d.relative_variance, 1.0 / 11.5 + 1.0 / 20.0, 1e-12);
}

TEST(Density, CleanCountStillLeavesRoom) {
  const Estimate e = estimate(density_of(0, 20));
  EXPECT_GT(e.mean, 0.0);
  EXPECT_GT(e.p95, 0.05);
  EXPECT_LT(e.p95, 0.15);  // rule of three: 3/20
}

TEST(Density, GammaPoissonPosteriorOfTheLiterature) {
  // Gamma(12, rate 5): mean 2.4, P(mean > 3) = 0.184751799024 (computed with SciPy).
  const Density d{2.4, 1.0 / 12.0};
  test::check_row({"density.gamma_poisson", "Gamma(2,1) prior, counts 3 0 2 5: P(mean > 3)", "conjugate gamma–Poisson, SciPy stats.gamma",
                   "derived", test::From::independent, 0.184751799024, 1e-9, ""},
                  probability_over(d, 3.0));
}

TEST(Density, SumOfIndependentPartsAddsMeansAndVariances) {
  const Density a{1.0, 0.5};
  const Density b{3.0, 0.1};
  const Density s = sum(a, b);
  EXPECT_NEAR(s.mean, 4.0, 1e-12);
  EXPECT_NEAR(s.relative_variance * 16.0, 0.5 + 0.9, 1e-12);
}

// How often the truth lies within the printed 5 and 95 % points, and how often above, when counts are negative binomial: every possible
// count with its exact probability (sum of `plants` plants: NB with size plants·k).
struct Coverage {
  double inside = 0.0, above = 0.0;
};
Coverage coverage(double true_k, int plants, double mean) {
  const double size = plants * true_k;
  const double stay = mean / (mean + true_k);
  Coverage out;
  double p = std::pow(1.0 - stay, size);
  double below = 0.0;
  for (int count = 0; below < 1.0 - 1e-9 && count < 20000; ++count) {
    const Estimate e = estimate(density_of(count, plants));
    below += p;
    if (mean > e.p95)
      out.above += p;
    else if (mean >= e.p05)
      out.inside += p;
    p *= (size + count) / (count + 1.0) * stay;
  }
  return out;
}

TEST(Density, NineInTenHoldsTheTruthWhenPlantsClumpAsAssumedAndNotMuchLessWhenTheyClumpMore) {
  // What is promised is 0.90. Where plants differ as assumed (k = 1) or less, small integer counts make it swing down to 0.83; where they
  // clump twice as much (k = ½) it falls to 0.77, nearly all of it with the truth above the interval.
  for (const int plants : {5, 10, 20, 40})
    for (const double mean : {0.1, 0.3, 1.0, 3.0}) {
      for (const double k : {1.0, 1.5, 3.0}) {
        const Coverage c = coverage(k, plants, mean);
        EXPECT_GE(c.inside, 0.82) << "k " << k << ", " << plants << " plants, mean " << mean;
        EXPECT_LE(c.above, 0.155) << "k " << k << ", " << plants << " plants, mean " << mean;
      }
      const Coverage clumped = coverage(0.5, plants, mean);
      EXPECT_GE(clumped.inside, 0.76) << plants << " plants, mean " << mean;
      EXPECT_LE(clumped.above, 0.215) << plants << " plants, mean " << mean;
    }
  EXPECT_NEAR(coverage(1.0, 20, 1.0).inside, 0.90, 0.01);
}

TEST(Density, ChanceOfBeingOverIsNeitherBoastfulNorShyAroundAThreshold) {
  // Beds spread evenly in the logarithm from a thirtieth to thirty times the threshold, twenty plants each, k = 1. In each band of the
  // stated chance, the share of beds truly over. Exact sums, no draws.
  constexpr double threshold = 0.3;
  constexpr int plants = 20;
  struct Band {
    double said = 0.0, truly = 0.0, weight = 0.0;
  };
  std::array<Band, 5> bands;
  for (int step = -170; step < 170; ++step) {
    const double mean = threshold * std::exp((step + 0.5) * 0.02);
    const double stay = mean / (mean + 1.0);
    double p = std::pow(1.0 - stay, plants);
    double below = 0.0;
    for (int count = 0; below < 1.0 - 1e-9 && count < 5000; ++count) {
      const double said = probability_over(density_of(count, plants), threshold);
      Band& band = bands[std::min<std::size_t>(4, static_cast<std::size_t>(said * 5.0))];
      band.said += p * said;
      band.weight += p;
      if (mean > threshold) band.truly += p;
      below += p;
      p *= (plants + count) / (count + 1.0) * stay;
    }
  }
  for (const Band& band : bands) EXPECT_NEAR(band.truly / band.weight, band.said / band.weight, 0.08) << "said " << band.said / band.weight;
}

TEST(Density, ProbabilityOverFallsWithTheThresholdAndRisesWithTheCount) {
  double last = 1.0;
  for (const double threshold : {0.05, 0.1, 0.3, 1.0, 3.0}) {
    const double p = probability_over(density_of(6, 20), threshold);
    EXPECT_LE(p, last);
    last = p;
  }
  last = 0.0;
  for (const int count : {0, 1, 3, 6, 12, 40}) {
    const double p = probability_over(density_of(count, 20), 0.3);
    EXPECT_GE(p, last);
    last = p;
  }
}

}  // namespace
}  // namespace leafturn::decision
