// docs/fits/fruiting-crops.md: the fitted figures of the dossiers, computed again from the durations they were fitted to.
#include <gtest/gtest.h>

#include <algorithm>
#include <utility>

#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn {
namespace {

const pest::Dossier& dossier(const char* id) {
  static const auto library = io::built_in_library();
  return *library->pest(id);
}

double heat(const pest::Dossier& d, std::string_view key) {
  const auto* linear = d.stages[*d.stage_index(key)].rate.linear();
  if (linear == nullptr) {
    ADD_FAILURE() << d.id << " " << key << " isn't linear";
    return 0.0;
  }
  return linear->constant.value.celsius_days();
}

double lower(const pest::Dossier& d, std::string_view key) { return d.stages[*d.stage_index(key)].rate.linear()->lower.value.celsius(); }

constexpr double rounding = 0.06;

TEST(FitFruiting, squash_bug) {
  const auto& d = dossier("squash-bug");
  const double above = 26.0 - lower(d, "egg");
  EXPECT_NEAR(heat(d, "egg"), 8.0 * above, rounding);
  for (int i = 1; i <= 5; ++i) EXPECT_NEAR(heat(d, "nymph-" + std::to_string(i)), 33.0 / 5.0 * above, rounding);
  EXPECT_NEAR(heat(d, "adult-laying"), ((75.0 + 130.0) / 2.0 - 14.0) * above, rounding);
}

TEST(FitFruiting, cucumber_beetle) {
  const auto& d = dossier("striped-cucumber-beetle");
  const double above = 22.0 - lower(d, "egg");
  EXPECT_NEAR(heat(d, "egg"), 7.0 * above, rounding);
  EXPECT_NEAR(heat(d, "pupa"), 7.0 * above, rounding);
  for (int i = 1; i <= 3; ++i) EXPECT_NEAR(heat(d, "larva-" + std::to_string(i)), (50.0 - 7.0 - 7.0) / 3.0 * above, rounding);
  EXPECT_NEAR(heat(d, "adult-laying"), (56.0 - 14.0) * above, rounding);
  EXPECT_DOUBLE_EQ(lower(d, "egg"), d.biofix.lower->celsius()) << "the threshold is borrowed from the spring cue";
}

TEST(FitFruiting, vine_borer) {
  const auto& d = dossier("squash-vine-borer");
  EXPECT_NEAR(heat(d, "egg"), 245.0 / 1.8, rounding);
  EXPECT_NEAR(heat(d, "adult-new"), ((245.0 + 300.0) / 2.0 - 245.0) / 1.8, 0.2);
  const double celsius = 10.0 + heat(d, "larva") / 25.5;
  EXPECT_NEAR(celsius, 24.4, 0.05);
  EXPECT_NEAR(heat(d, "adult-laying"), 4.5 * (24.4 - 10.0) - heat(d, "adult-new"), rounding);
}

TEST(FitFruiting, earworm) {
  const auto& d = dossier("corn-earworm");
  ASSERT_EQ(d.set_used, "butler-1976");
  double of_squares = 0.0;
  double of_ones = 0.0;
  for (const auto& [celsius, days] : {std::pair{30.0, 15.3}, {32.0, 13.6}, {34.0, 12.6}}) {
    const double per_heat = 1.0 / ((std::min(celsius, 33.3) - 12.6) * days);  // relative days per °C·d
    of_ones += per_heat;
    of_squares += per_heat * per_heat;
  }
  EXPECT_NEAR(heat(d, "larva-1"), of_ones / of_squares, rounding) << "the heat of the whole set";
  EXPECT_NEAR(heat(d, "egg"), 3.5 * (25.0 - 12.6), rounding);
  EXPECT_NEAR(heat(d, "pupa"), 13.0 * (25.0 - 12.6), rounding);
  const double instars[] = {3.7, 2.8, 2.2, 2.2, 2.4, 2.9};
  for (int i = 1; i <= 6; ++i) EXPECT_NEAR(d.stages[*d.stage_index("larva-" + std::to_string(i))].rate.share, instars[i - 1] / 16.2, 1e-4);
}

TEST(FitFruiting, bean_beetle) {
  const auto& d = dossier("mexican-bean-beetle");
  const double above = 22.0 - lower(d, "egg");
  EXPECT_NEAR(heat(d, "egg"), 7.0 * above, rounding);
  EXPECT_NEAR(heat(d, "pupa"), 8.5 * above, rounding);
  for (int i = 1; i <= 4; ++i) EXPECT_NEAR(heat(d, "larva-" + std::to_string(i)), (35.0 - 7.0 - 8.5) / 4.0 * above, rounding);
  EXPECT_NEAR(heat(d, "adult-laying"), 31.5 * above, rounding);
}

}  // namespace
}  // namespace leafturn
