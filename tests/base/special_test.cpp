#include "core/base/special.hpp"

#include <gtest/gtest.h>

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

}  // namespace
}  // namespace leafturn
