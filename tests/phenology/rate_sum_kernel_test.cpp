#include "core/phenology/rate_sum_kernel.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "core/base/random.hpp"
#include "core/phenology/rate.hpp"
#include "core/phenology/rate_limits.hpp"
#include "tests/phenology/rate_forms.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using namespace test;

/// The day as documented, in double precision and with all 24 hours.
double hour_by_hour(const pest::BriereRate& rate, double min, double max) {
  double sum = 0.0;
  for (int hour = 0; hour < 24; ++hour)
    sum +=
        rate_per_day(rate, celsius(0.5 * (min + max) + 0.5 * (max - min) * std::sin(2.0 * 3.14159265358979323846 * (hour + 0.5) / 24.0))) /
        24.0;
  return sum;
}

struct Days {
  std::vector<float> mins, maxs;
};

Days random_days(std::size_t count) {
  num::Draws random({.seed = 7, .use = num::Use::test});
  Days days;
  for (std::size_t i = 0; i < count; ++i) {
    const double min = -25.0 + 60.0 * random.uniform();
    days.mins.push_back(static_cast<float>(min));
    days.maxs.push_back(static_cast<float>(min + 25.0 * random.uniform()));
  }
  return days;
}

const std::vector<Lanes>& lanes_here() {
  static const std::vector<Lanes> lanes = [] {
    std::vector<Lanes> out{Lanes::baseline};
    if (widest_lanes() != Lanes::baseline) out.push_back(Lanes::avx2);
    if (widest_lanes() == Lanes::avx512) out.push_back(Lanes::avx512);
    return out;
  }();
  return lanes;
}

TEST(RateSumKernel, IsTheHourlySumWithinItsError) {
  const Days days = random_days(100003);
  for (const auto& rate : {briere(7.86e-5, 11.36, 39.17), briere(1.2e-4, 8, 35), briere(1e-4, -5, 32)}) {
    std::vector<float> sums(days.mins.size(), 0.0F);
    add_briere_day(days.mins, days.maxs, rate, sums);
    const double highest = optimum(rate)->rate_per_day;
    double worst = 0.0;
    double mean = 0.0;
    for (std::size_t i = 0; i < sums.size(); ++i) {
      const double miss =
          std::abs(static_cast<double>(sums[i]) - hour_by_hour(rate, static_cast<double>(days.mins[i]), static_cast<double>(days.maxs[i])));
      worst = std::max(worst, miss);
      mean += miss / static_cast<double>(sums.size());
    }
    EXPECT_LT(worst, 5e-5 * highest);
    EXPECT_LT(mean, 1e-7 * highest);
  }
}

TEST(RateSumKernel, EveryWidthGivesTheSameBits) {
  const Days days = random_days(10007);
  const auto rate = briere(7.86e-5, 11.36, 39.17);
  std::vector<float> first(days.mins.size(), 0.25F);
  add_briere_day(days.mins, days.maxs, rate, first, Lanes::baseline);
  for (const Lanes lanes : lanes_here()) {
    std::vector<float> sums(days.mins.size(), 0.25F);
    add_briere_day(days.mins, days.maxs, rate, sums, lanes);
    for (std::size_t i = 0; i < sums.size(); ++i)
      ASSERT_EQ(std::bit_cast<std::uint32_t>(sums[i]), std::bit_cast<std::uint32_t>(first[i])) << i;
  }
}

TEST(RateSumKernel, AddsUpAndPassesOnWhatIsMissing) {
  const float nan = std::numeric_limits<float>::quiet_NaN();
  const std::vector<float> mins{20.0F, nan, -40.0F, 50.0F, 20.0F};
  const std::vector<float> maxs{20.0F, 20.0F, -30.0F, 60.0F, nan};
  std::vector<float> sums(5, 0.0F);
  const auto rate = briere(1.2e-4, 8, 35);
  for (int day = 0; day < 10; ++day) add_briere_day(mins, maxs, rate, sums);
  leafturn::test::check_row({"kernel.rate_sum.flat", "ten days at 20 C, Briere-1 (1.2e-4, 8, 35), float lanes",
                             "ten times r(20) of row RF02", "derived", leafturn::test::From::independent, 1.115419204, 2e-6, ""},
                            static_cast<double>(sums[0]));
  EXPECT_TRUE(std::isnan(sums[1]));
  EXPECT_EQ(sums[2], 0.0F);
  EXPECT_EQ(sums[3], 0.0F);
  EXPECT_TRUE(std::isnan(sums[4]));
}

}  // namespace
}  // namespace leafturn::phenology
