// Mixing: nothing above the label's most after rounding, nothing a tenth below its least, and a refusal that says what to do.
#include "core/spray/mix.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace leafturn::spray {
namespace {

using Basis = label::ProductRate::Basis;

label::ProductRate rate(const char* text) { return *label::parse_rate(text); }

std::string refusal(const MixRequest& request) {
  const auto mixed = mix(request);
  return mixed ? "" : mixed.error().code;
}

TEST(Mix, FullLoadsAndAPartialLastOne) {
  MixRequest r;
  r.rate = rate("2 floz/gal");
  r.volume = Volume::gallons(5);
  r.tank = Volume::gallons(2);
  const auto mixed = mix(r);
  ASSERT_TRUE(mixed);
  ASSERT_EQ(mixed->loads.size(), 3U);
  EXPECT_NEAR(mixed->wanted * 1e3, 295.735, 1e-3);
  EXPECT_NEAR(mixed->loads[0].finished.gallons(), 2.0, 1e-12);
  EXPECT_NEAR(mixed->loads[2].finished.gallons(), 1.0, 1e-9);
  for (const Load& load : mixed->loads) {
    EXPECT_NEAR(load.water.litres() + load.product, load.finished.litres(), 1e-9);
    ASSERT_EQ(load.readings.size(), 2U) << "metric and US";
    EXPECT_NEAR(load.readings[1].measured, load.wanted, 1e-9) << "whole ounces lose nothing";
  }
}

TEST(Mix, ALastLoadTooSmallToMeasureIsSharedOut) {
  MixRequest r;
  r.rate = rate("1 mL/L");
  r.volume = Volume::litres(10.2);
  r.tank = Volume::litres(10);
  const auto mixed = mix(r);
  ASSERT_TRUE(mixed);
  ASSERT_EQ(mixed->loads.size(), 2U);
  EXPECT_NEAR(mixed->loads[0].finished.litres(), 5.1, 1e-9);
  EXPECT_NEAR(mixed->loads[1].finished.litres(), 5.1, 1e-9);
}

TEST(Mix, ASmallDoseIsRefusedAndSaysHowMuchMoreToMix) {
  MixRequest r;
  r.rate = rate("1.5 pt/acre");
  r.area = Area::square_feet(20);
  r.carrier = SprayVolume::gallons_per_acre(65);
  const auto mixed = mix(r);
  ASSERT_FALSE(mixed);
  EXPECT_EQ(mixed.error().code, "spray.dose_too_small");
  const auto times = std::find_if(mixed.error().facts.begin(), mixed.error().facts.end(), [](const Fact& f) { return f.name == "times"; });
  ASSERT_NE(times, mixed.error().facts.end());
  const double n = std::get<Number>(times->value).value;
  EXPECT_DOUBLE_EQ(n, 4.0) << "0.33 mL, and a 5 mL syringe is read from 1 mL on";
  r.area = n * *r.area;
  EXPECT_TRUE(mix(r)) << "as many beds at once are enough";
}

TEST(Mix, WhatIsMissingIsNamed) {
  MixRequest r;
  r.rate = rate("2 qt/acre");
  EXPECT_EQ(refusal(r), "spray.mix_needs_area");
  r.area = Area::square_feet(400);
  EXPECT_EQ(refusal(r), "spray.mix_needs_carrier");
  r.carrier = SprayVolume::gallons_per_acre(30);
  EXPECT_EQ(refusal(r), "");
  MixRequest only_volume;
  only_volume.rate = rate("2 qt/acre");
  only_volume.volume = Volume::gallons(1);
  EXPECT_EQ(refusal(only_volume), "spray.mix_needs_area") << "a gallon says nothing of the ground it goes on";
  MixRequest percent;
  percent.rate = rate("2 %");
  EXPECT_EQ(refusal(percent), "spray.mix_needs_volume");
  percent.volume = Volume{};
  EXPECT_EQ(refusal(percent), "spray.mix_nothing");
  percent.volume = Volume::gallons(100);
  percent.tank = Volume::litres(1);
  EXPECT_EQ(refusal(percent), "spray.mix_too_many_loads");
  MixRequest thick;
  thick.rate = rate("2 qt/acre");
  thick.area = Area::acres(1);
  thick.volume = Volume::litres(1);
  EXPECT_EQ(refusal(thick), "spray.mix_more_product_than_spray");
}

TEST(Mix, PowdersAreWeighedAndNeverSpooned) {
  MixRequest r;
  r.rate = rate("2 lb/100gal");
  r.volume = Volume::gallons(2);
  const auto mixed = mix(r);
  ASSERT_TRUE(mixed);
  for (const Load& load : mixed->loads)
    for (const Reading& reading : load.readings) EXPECT_TRUE(reading.measure.weighs);
}

// Any rate on any bed with any tank: measured doses stay within the label's ends, or the answer is a refusal.
TEST(Mix, NeverAboveTheMostNorATenthBelowTheLeast) {
  std::mt19937_64 random{20261129};
  std::uniform_real_distribution<double> u;
  const auto between = [&](double low, double high) { return low * std::pow(high / low, u(random)); };
  int mixed_well = 0, refused = 0;
  for (int i = 0; i < 1'000'000; ++i) {
    MixRequest r;
    const auto basis = static_cast<Basis>(i % 4);
    const bool by_area = basis == Basis::volume_per_area || basis == Basis::mass_per_area;
    const bool weighed = basis == Basis::mass_per_area || basis == Basis::mass_per_volume;
    r.rate.basis = basis;
    // 0.1 to 20 L or kg/ha; 0.02 to 5 % or 0.2 to 50 g/L.
    r.rate.value = by_area ? (weighed ? between(0.01, 2.0) : between(1e-5, 2e-3)) : (weighed ? between(0.2, 50.0) : between(2e-4, 0.05));
    r.least = r.rate;
    r.least->value = r.rate.value * between(0.4, 1.0);
    r.area = Area::square_metres(between(0.5, 5000.0));
    r.carrier = SprayVolume::litres_per_hectare(between(50.0, 2000.0));
    if (u(random) < 0.7) r.tank = Volume::litres(between(1.0, 20.0));
    const auto mixed = mix(r);
    if (!mixed) {
      ++refused;
      continue;
    }
    ++mixed_well;
    double finished = 0.0;
    for (const Load& load : mixed->loads) {
      const double extent = by_area ? load.finished / mixed->finished * r.area->square_metres() : load.finished.litres();
      for (const Reading& reading : load.readings) {
        ASSERT_LE(reading.measured, r.rate.value * extent * (1 + 1e-9)) << i;
        ASSERT_GE(reading.measured, 0.9 * r.least->value * extent * (1 - 1e-9)) << i;
        ASSERT_GE(reading.measured, (least_graduations - 1e-6) * reading.measure.graduation) << i;
        ASSERT_NEAR(reading.measured,
                    std::min(load.wanted, reading.fillings * reading.measure.capacity + reading.graduations * reading.measure.graduation),
                    1e-6 * load.wanted)
            << i;
      }
      ASSERT_LE(load.finished.litres(), (r.tank ? r.tank->litres() : 1e9) * (1 + 1e-9)) << i;
      finished += load.finished.litres();
    }
    ASSERT_NEAR(finished, mixed->finished.litres(), 1e-6 * finished) << i;
  }
  EXPECT_GT(mixed_well, 400'000);
  EXPECT_GT(refused, 10'000);
}

}  // namespace
}  // namespace leafturn::spray
