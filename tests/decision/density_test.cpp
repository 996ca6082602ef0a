#include "core/decision/density.hpp"

#include <gtest/gtest.h>

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
