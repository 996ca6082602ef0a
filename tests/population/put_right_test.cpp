#include "core/population/put_right.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

// Members spread around 8 by a factor of e^0.4, k 3.
Expected expectation() {
  Expected e;
  num::Place place;
  num::Draws draws{place};
  for (int i = 0; i < 256; ++i) {
    e.mean.push_back(static_cast<float>(8.0 * num::exp(0.4 * draws.normal())));
    e.k.push_back(3.0F);
  }
  return e;
}

Sighting of(std::size_t stage, int count) { return {0, 0, {stage}, 1.0, 20, count, {}}; }

// Counts that come from the expectation, but with everything `ratio` times as many and `width` times as far from the middle.
PutRight taught(double ratio, double width, int counts) {
  PutRight right;
  const Expected e = expectation();
  num::Place place;
  place.seed = 7;
  num::Draws draws{place};
  for (int i = 0; i < counts; ++i) {
    const auto member = static_cast<std::size_t>(draws.uniform() * static_cast<double>(e.mean.size()));
    const double mean = 8.0 * num::pow(static_cast<double>(e.mean[member]) / 8.0, width) * ratio;
    right.learn(of(0, static_cast<int>(draws.negative_binomial(mean, 3.0 / (width * width)))), {}, e);
  }
  return right;
}

TEST(PutRight, ChangesNothingBeforeAnyCount) {
  Expected e = expectation();
  const Expected before = e;
  const PutRight right;
  EXPECT_DOUBLE_EQ(right.ratio(of(0, 3)), 1.0);
  EXPECT_NEAR(right.width(), 1.0, 0.06);
  right.apply(of(0, 3), {}, e);
  for (std::size_t i = 0; i < e.mean.size(); ++i) EXPECT_NEAR(e.mean[i], before.mean[i], 0.1F * before.mean[i]);
}

TEST(PutRight, LearnsThatForecastsWereTooSureOrNotSureEnough) {
  EXPECT_NEAR(taught(1.0, 1.0, 150).width(), 1.0, 0.2);
  EXPECT_GT(taught(1.0, 1.8, 150).width(), 1.4);
  EXPECT_LT(taught(1.0, 0.6, 150).width(), 0.8);
}

TEST(PutRight, LearnsHowMuchOfAStageIsFoundAndOfNoOther) {
  const PutRight right = taught(0.4, 1.0, 60);
  EXPECT_NEAR(right.ratio(of(0, 3)), 0.45, 0.12);  // its mean is a little above the middle of 8
  EXPECT_DOUBLE_EQ(right.ratio(of(1, 3)), 1.0);
  Expected e = expectation();
  const float before = e.mean.front();
  right.apply(of(0, 3), {}, e);
  EXPECT_LT(e.mean.front(), 0.7F * before);
}

TEST(PutRight, AFewCountsMoveItLittle) { EXPECT_NEAR(taught(1.0, 1.8, 3).width(), 1.0, 0.3); }

}  // namespace
}  // namespace leafturn::population
