// Random numbers and exponentials in lanes against their plain counterparts.

#include "core/population/lane_random.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leafturn::population {
namespace {

TEST(LaneRandom, IsPhiloxOfTheSameCounterAndKey) {
  const std::array<LanePlace, 3> places{{{1, 0, 0, 0, 0, 0, num::Use::population_turn},
                                         {0xFEDCBA9876543210U, 4080, 179, 11, 2, 7, num::Use::population_jitter},
                                         {0xFFFFFFFFFFFFFFFFU, 0xFFFFFFF0U, -3, 0xFFFF, 0xFFFF, 0xFFFF, num::Use::test}}};
  for (const LanePlace& place : places) {
    std::array<Lane, 4> got;
    uniforms(place, got);
    for (std::size_t l = 0; l < lanes; ++l) {
      const auto words = num::philox4x32(
          {place.first_member + static_cast<std::uint32_t>(l), static_cast<std::uint32_t>(place.day),
           place.bed | (std::uint32_t{place.pest} << 16), place.part | (std::uint32_t{static_cast<std::uint16_t>(place.use)} << 16)},
          {static_cast<std::uint32_t>(place.seed), static_cast<std::uint32_t>(place.seed >> 32)});
      for (std::size_t w = 0; w < 4; ++w) {
        const auto whole = static_cast<float>(words[w] >> 9);
        EXPECT_EQ(got[w][l], (whole + 0.5F) * 0x1p-23F) << l << " " << w;
        EXPECT_GT(got[w][l], 0.0F);
        EXPECT_LT(got[w][l], 1.0F);
      }
    }
  }
}

TEST(LaneRandom, ExponentialsKeepTheirStatedError) {
  double worst = 0.0;
  for (int i = -800'000; i <= 800'000; ++i) {
    const float x = static_cast<float>(i) * 1e-4F;
    worst = std::max(worst, std::abs(static_cast<double>(exp_of(x)) / std::exp(static_cast<double>(x)) - 1.0));
  }
  EXPECT_LT(worst, 2e-7);
  EXPECT_GT(worst, 1e-8);  // single precision can't do better: something was measured
  EXPECT_EQ(exp_of(1000.0F), exp_of(80.0F));
  EXPECT_EQ(exp_of(-1000.0F), exp_of(-80.0F));
}

}  // namespace
}  // namespace leafturn::population
