#include "core/phenology/degree_day_kernel.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <limits>
#include <random>
#include <vector>

#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

Temperature c(double v) { return Temperature::celsius(v); }

struct Cells {
  std::vector<float> mins, maxs;
};

// Ordinary days, days that touch a threshold to the last bit, flat days and hair-wide ones; an odd number, so every loop has a tail.
Cells many_cells() {
  std::mt19937_64 random{42};
  std::uniform_real_distribution<float> min{-30.0F, 45.0F};
  std::uniform_real_distribution<float> span{0.0F, 30.0F};
  Cells cells;
  for (int i = 0; i < 200'003; ++i) {
    float low = min(random);
    float high = low + span(random);
    if (i % 11 == 0) high = low;
    if (i % 13 == 0) high = std::nextafter(low, 100.0F);
    if (i % 17 == 0) low = 10.0F, high = 10.0F + span(random);
    if (i % 19 == 0) high = 31.0F, low = 31.0F - span(random);
    if (i % 23 == 0) low = std::nextafter(10.0F, 0.0F), high = std::nextafter(31.0F, 100.0F);
    cells.mins.push_back(low);
    cells.maxs.push_back(high);
  }
  return cells;
}

const Thresholds thresholds{Temperature::celsius(10.0), Temperature::celsius(31.0)};

TEST(DegreeDayKernel, IsWithinFloatRoundingOfTheClosedForm) {
  const Cells cells = many_cells();
  std::vector<float> out(cells.mins.size());
  single_sine_horizontal(cells.mins, cells.maxs, thresholds, out);
  double worst = 0.0;
  for (std::size_t i = 0; i < out.size(); ++i) {
    const Temperature low = c(static_cast<double>(cells.mins[i]));
    const Temperature high = c(static_cast<double>(cells.maxs[i]));
    const double exact = degree_days(Method::single_sine, Cutoff::horizontal, thresholds, low, high, low).celsius_days();
    worst = std::max(worst, std::abs(exact - static_cast<double>(out[i])));
  }
  test::check_row({"dd.kernel.float32", "largest difference of the float32 kernel over 200,003 days, 10/31 C",
                   "closed form of the single sine with horizontal cutoff (Baskerville & Emin 1969), in double", "derived",
                   test::From::independent, 0.0, 2e-5, "C d"},
                  worst);
}

TEST(DegreeDayKernel, EveryInstructionSetGivesTheSameBits) {
  const Cells cells = many_cells();
  std::vector<float> plain(cells.mins.size());
  single_sine_horizontal(cells.mins, cells.maxs, thresholds, plain, Lanes::baseline);
  const Lanes widest = widest_lanes();
  if (widest == Lanes::baseline) GTEST_SKIP() << "this processor has no wider lanes to compare with";
  for (const Lanes lanes : {Lanes::avx2, Lanes::avx512}) {
    if (lanes == Lanes::avx512 && widest != Lanes::avx512) continue;
    std::vector<float> wide(cells.mins.size());
    single_sine_horizontal(cells.mins, cells.maxs, thresholds, wide, lanes);
    EXPECT_EQ(std::memcmp(plain.data(), wide.data(), plain.size() * sizeof(float)), 0);
  }
}

TEST(DegreeDayKernel, FlatDaysAndMissingOnes) {
  const float nan = std::numeric_limits<float>::quiet_NaN();
  const std::vector<float> mins{20.0F, 5.0F, 35.0F, 10.0F, nan, 12.0F, nan};
  const std::vector<float> maxs{20.0F, 5.0F, 35.0F, 10.0F, 20.0F, nan, nan};
  std::vector<float> out(mins.size());
  for (const Lanes lanes : {Lanes::baseline, widest_lanes()}) {
    single_sine_horizontal(mins, maxs, thresholds, out, lanes);
    EXPECT_FLOAT_EQ(out[0], 10.0F);
    EXPECT_FLOAT_EQ(out[1], 0.0F);
    EXPECT_FLOAT_EQ(out[2], 21.0F);
    EXPECT_FLOAT_EQ(out[3], 0.0F);
    EXPECT_TRUE(std::isnan(out[4]) && std::isnan(out[5]) && std::isnan(out[6]));
  }
}

}  // namespace
}  // namespace leafturn::phenology
