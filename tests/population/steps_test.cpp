// Weather into steps, steps into passes: nothing is lost on the way, and no pass is larger than its error allows.
#include "core/population/steps.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::population {
namespace {

const pest::Library& library() {
  static const auto found = io::built_in_library();
  return *found;
}

const Date first_day = *Date::from_ymd(2025, 6, 1);

// Two days that swing about 20 °C, a day without weather, and one more.
weather::HourlySeries swinging() {
  weather::HourlySeries out{first_day, {}};
  for (int day = 0; day < 4; ++day) {
    if (day == 2) {
      out.days.emplace_back();
      continue;
    }
    weather::HourlyDay hours;
    for (int hour = 0; hour < 24; ++hour)
      hours[static_cast<std::size_t>(hour)] = Temperature::celsius(20.0 + 8.0 * day + (hour > 8 && hour < 20 ? 6.0 : -6.0));
    out.days.emplace_back(hours);
  }
  return out;
}

TEST(Steps, hold_the_rates_of_their_three_hours) {
  const Life life = life_of(*library().pest("diamondback-moth"));
  const weather::HourlySeries air = swinging();
  const StepTable table = steps_of(life, air, first_day, first_day + Days{3});
  ASSERT_EQ(table.missing, (std::vector<bool>{false, false, true, false}));
  EXPECT_TRUE(table.day(first_day - Days{1}).empty());
  EXPECT_TRUE(table.day(first_day + Days{4}).empty());
  const auto day = table.day(first_day + Days{1});
  ASSERT_EQ(day.size(), 8u);
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    // Step 3 is 9:00 to 12:00, all at 34 °C; step 2 is 6:00 to 9:00, all at 22 °C.
    const auto& rate = life.dossier->stages[s].rate;
    const auto count = static_cast<double>(life.stages[s].count);
    EXPECT_NEAR(static_cast<double>(day[3].passed[s]), count * phenology::rate_per_day(rate, Temperature::celsius(34.0)) / 8.0, 1e-6);
    EXPECT_NEAR(static_cast<double>(day[2].passed[s]), count * phenology::rate_per_day(rate, Temperature::celsius(22.0)) / 8.0, 1e-6);
    for (const Step& step : table.day(first_day + Days{2})) EXPECT_EQ(step.passed[s], 0.0F);
  }
}

TEST(Steps, stages_in_the_soil_feel_the_soil) {
  const Life life = life_of(*library().pest("cabbage-maggot"));
  const auto pupa = static_cast<std::size_t>(
      std::find_if(life.dossier->stages.begin(), life.dossier->stages.end(), [](const pest::Stage& s) { return s.in_soil; }) -
      life.dossier->stages.begin());
  ASSERT_LT(pupa, life.stages.size());
  const auto day = steps_of(life, swinging(), first_day, first_day).steps;
  // Damped: night and noon differ by far less than the air's 12 K would make them.
  const double night = phenology::rate_per_day(life.dossier->stages[pupa].rate, Temperature::celsius(14.0));
  const double noon = phenology::rate_per_day(life.dossier->stages[pupa].rate, Temperature::celsius(26.0));
  EXPECT_LT(static_cast<double>(day[4].passed[pupa] - day[0].passed[pupa]),
            0.8 * static_cast<double>(life.stages[pupa].count) * (noon - night) / 8.0);
}

// Aged shares are linear in what is passed, so their sum over the passes is that of the steps, however they were cut.
TEST(Steps, passes_add_up_and_are_small_enough) {
  for (const pest::Dossier& dossier : library().pests) {
    const Life life = life_of(dossier);
    const StepTable table = steps_of(life, swinging(), first_day, first_day + Days{3});
    const std::span<const Step> all{table.steps};
    const auto laying = static_cast<double>(life.stages[life.laying].count);
    for (std::size_t from = 0; from < all.size(); ++from)
      for (std::size_t to = from + 1; to <= all.size(); ++to) {
        const population::Run run = run_of(life, all.subspan(from, to - from));
        double aged = 0.0, expected = 0.0, days = 0.0;
        for (std::size_t q = from; q < to; ++q) expected += static_cast<double>(all[q].passed[life.laying]) / laying;
        for (const Pass& pass : run.passes) {
          aged += static_cast<double>(pass.aged);
          days += static_cast<double>(pass.days);
          ASSERT_GE(pass.days, 0.0F);
          for (std::size_t s = 0; s < life.stages.size(); ++s) {
            const StagePass& c = pass.stages[s];
            ASSERT_GE(std::min({c.stay, c.one, c.two, c.on, c.enter_one, c.enter_two, c.enter_on, c.second_two}), 0.0F);
            // on = (λ/3)/(1 + λ/3)
            const double passed = 3.0 * static_cast<double>(c.on) / (1.0 - static_cast<double>(c.on));
            ASSERT_LE(passed, most_passed(life.stages[s].count) * (1.0 + 1e-5));
          }
        }
        ASSERT_NEAR(aged, expected, 1e-5 * (1.0 + expected));
        ASSERT_NEAR(days, static_cast<double>(to - from) / 8.0, 1e-5);
        ASSERT_NEAR(days, static_cast<double>(run.days), 1e-5);
      }
  }
}

TEST(Steps, one_pass_is_enough_for_a_day_without_development) {
  const Life life = life_of(*library().pest("squash-bug"));
  weather::HourlyDay cold;
  cold.fill(Temperature::celsius(1.0));
  const StepTable table = steps_of(life, {first_day, {cold}}, first_day, first_day);
  EXPECT_EQ(run_of(life, table.steps).passes.size(), 1u);
  EXPECT_EQ(run_of(life, table.steps).passes[0].days, 1.0F);
}

TEST(Steps, the_largest_pass_grows_with_the_cube_root_of_the_substages) {
  EXPECT_NEAR(most_passed(24), 2.0, 1e-12);
  EXPECT_NEAR(most_passed(3), 1.0, 1e-12);
  EXPECT_NEAR(most_passed(1), 0.693361274, 1e-9);
  EXPECT_EQ(most_passed(64), 2.0);
}

}  // namespace
}  // namespace leafturn::population
