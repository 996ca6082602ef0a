#include "core/base/normal.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace leafturn::num {
namespace {

// The C library's erfc shares nothing with the series.
TEST(Normal, DistributionEqualsTheErrorFunction) {
  for (int i = -1000; i <= 1000; ++i) {
    const double z = i * 0.0101;
    EXPECT_NEAR(normal_cdf(z), 0.5 * std::erfc(-z / std::sqrt(2.0)), 1e-14) << z;
  }
  EXPECT_DOUBLE_EQ(normal_cdf(0.0), 0.5);
  EXPECT_DOUBLE_EQ(normal_cdf(-std::numeric_limits<double>::infinity()), 0.0);
  EXPECT_DOUBLE_EQ(normal_cdf(std::numeric_limits<double>::infinity()), 1.0);
  EXPECT_TRUE(std::isnan(normal_cdf(std::numeric_limits<double>::quiet_NaN())));
}

}  // namespace
}  // namespace leafturn::num
