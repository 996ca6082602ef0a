#include "core/base/special.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/check_rows.hpp"

namespace leafturn {
namespace {

struct Point {
  double shape, p, x;
};

TEST(Special, GammaQuantilesAgreeWithScipy) {
  const Point points[] = {
      {0.05, 0.05, 5.573875481878824e-27}, {0.05, 0.5, 5.573878440746256e-07}, {0.05, 0.95, 0.2659323024258409},
      {0.3, 0.05, 3.211034699722965e-05},  {0.3, 0.5, 0.07313113586695198},    {0.3, 0.95, 1.372349944100886},
      {1, 0.05, 0.05129329438755053},      {1, 0.5, 0.6931471805599455},       {1, 0.95, 2.9957322735539895},
      {2.5, 0.05, 0.5727381130308846},     {2.5, 0.5, 2.175730095547763},      {2.5, 0.95, 5.535248846758176},
      {17, 0.05, 10.832140356275987},      {17, 0.5, 16.66785368373961},       {17, 0.95, 24.301183683647082},
      {400, 0.05, 367.68117406174895},     {400, 0.5, 399.6667160944644},      {400, 0.95, 433.45570105468965},
  };
  for (const Point& point : points) {
    const std::string what = "gamma quantile, shape " + std::to_string(point.shape) + ", p " + std::to_string(point.p);
    test::check_row({"special.gamma_quantile." + std::to_string(point.shape) + "." + std::to_string(point.p), what,
                     "SciPy 1.10 stats.gamma.ppf", "independent", test::From::independent, point.x, 1e-7 * point.x + 1e-30, ""},
                    num::gamma_quantile(point.shape, point.p));
    EXPECT_NEAR(num::gamma_cdf(point.shape, point.x), point.p, 1e-10);
  }
}

TEST(Special, GammaFunctionIsContinuousWhereTheFormulaChanges) {
  for (const double shape : {0.1, 0.5, 1.0, 3.0, 30.0, 300.0}) {
    const double edge = shape + 1.0;
    EXPECT_NEAR(num::gamma_cdf(shape, edge * (1 - 1e-12)), num::gamma_cdf(shape, edge), 1e-11) << shape;
  }
}

TEST(Special, GammaFunctionGoesFromZeroToOne) {
  for (const double shape : {0.02, 1.0, 50.0}) {
    EXPECT_EQ(num::gamma_cdf(shape, 0.0), 0.0);
    EXPECT_EQ(num::gamma_cdf(shape, -1.0), 0.0);
    EXPECT_NEAR(num::gamma_cdf(shape, 1e4), 1.0, 1e-12);
  }
}

TEST(Special, BetaFunction) {
  test::check_row(
      {"special.beta", "Beta(1, 1), then 3 of 20: P(share > 0.25)", "conjugate beta-binomial, computed independently (methods 4.3)",
       "derived", test::From::independent, 0.191682143864, 1e-10, ""},
      1.0 - num::beta_cdf(4, 18, 0.25));
  for (const double x : {0.001, 0.2, 0.5, 0.9}) {
    const double arcsine = 2.0 / 3.14159265358979323846 * std::asin(std::sqrt(x));  // Beta(1/2, 1/2) is the arcsine law
    EXPECT_NEAR(num::beta_cdf(0.5, 0.5, x), arcsine, 1e-12) << x;
    for (const int n : {1, 7, 40, 3000})
      for (const int a : {1, n / 3 + 1, n}) {  // P(Beta(a, n + 1 - a) <= x) = P(Binomial(n, x) >= a)
        double sum = 0.0;
        for (int i = a; i <= n; ++i)
          sum +=
              std::exp(std::lgamma(n + 1.0) - std::lgamma(i + 1.0) - std::lgamma(n - i + 1.0) + i * std::log(x) + (n - i) * std::log1p(-x));
        EXPECT_NEAR(num::beta_cdf(a, n + 1 - a, x), sum, 1e-10) << n << ' ' << a << ' ' << x;
      }
  }
  for (const double p : {0.05, 0.5, 0.95}) EXPECT_NEAR(num::beta_cdf(2.5, 30.5, num::beta_quantile(2.5, 30.5, p)), p, 1e-10);
  EXPECT_EQ(num::beta_cdf(2, 3, -1), 0.0);
  EXPECT_EQ(num::beta_cdf(2, 3, 1), 1.0);
}

}  // namespace
}  // namespace leafturn
