// Life tables and matrices, against published tables and against what the eigenvectors must do.

#include "core/population/life_table.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "core/base/random.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using test::check_row;
using test::From;

std::vector<AgeClass> rows(double first_age, double step, const std::vector<double>& alive, const std::vector<double>& births) {
  std::vector<AgeClass> table;
  for (std::size_t i = 0; i < alive.size(); ++i) table.push_back({first_age + step * static_cast<double>(i), alive[i], births[i]});
  return table;
}

const std::string lotka = "Lotka's equation, root recomputed";

void check(const std::string& id, const char* what, From from, const std::string& source, double expected, double tolerance, double got) {
  check_row({"lifetable." + id, what, source, from == From::published ? "seen" : "derived", from, expected, tolerance, ""}, got);
}

TEST(LifeTable, ATextbooksTableWithItsRoughRate) {
  const auto table = rows(0, 1, {1, .45, .15, .05}, {0, 2, 2.5, 2.5});
  const auto result = life_table(table);
  ASSERT_TRUE(result.has_value());
  const std::string printed = "lecture notes on life tables, reference S26, printed";
  check("LT01.R0.printed", "net reproduction", From::published, printed, 1.4, 0.005, result->net_reproduction);
  check("LT01.T.printed", "generation time", From::published, printed, 1.45, 0.005, result->generation_time);
  check("LT01.r.printed", "approximate r", From::published, printed, 0.232, 0.001, result->rough_growth);
  check("LT01.R0", "net reproduction", From::independent, "sums by hand", 1.4, 1e-12, result->net_reproduction);
  check("LT01.Tc", "generation time", From::independent, "sums by hand", 1.4464285714, 1e-10, result->generation_time);
  check("LT01.rough", "ln R0/Tc", From::independent, "by hand", 0.2326227809, 1e-10, result->rough_growth);
  check("LT01.r", "exact r", From::independent, lotka, 0.240629943615, 1e-10, result->growth);
  check("LT01.factor", "e^r", From::independent, lotka, 1.272050217894, 1e-10, result->factor);
}

TEST(LifeTable, AMosquitoCohortInClassesOfTwoDays) {
  const auto table = rows(6, 1, {1, 1, 1, 1}, {1600 / 500.0, 360 / 500.0, 300 / 500.0, 25 / 500.0});
  const auto result = life_table(table);
  ASSERT_TRUE(result.has_value());
  check("LT02.r.printed", "exact r of a mosquito cohort of 500", From::published, "teaching data, reference S27, printed", 0.2378, 1e-4,
        result->growth);
  check("LT02.R0", "net reproduction", From::independent, "sums by hand", 4.57, 1e-12, result->net_reproduction);
  check("LT02.Tc", "generation time", From::independent, "sums by hand", 6.4529540481, 1e-9, result->generation_time);
  check("LT02.rough", "ln R0/Tc", From::independent, "by hand", 0.2354755967, 1e-9, result->rough_growth);
  check("LT02.r", "exact r", From::independent, lotka, 0.237787744318, 1e-10, result->growth);
  check("LT02.lotka", "Lotka's sum at r 0.235", From::independent, "sum by hand", 1.0178132793, 1e-9, lotka_sum(table, 0.235));
}

TEST(LifeTable, ThreeMoreTables) {
  const auto third = life_table(rows(0, 1, {1, .98, .95, .5, .3, 0}, {0, 0, 0, 3, 4, 0}));
  ASSERT_TRUE(third.has_value());
  check("LT03.R0", "net reproduction", From::independent, "reference S28's data, sums by hand", 2.7, 1e-12, third->net_reproduction);
  check("LT03.Tc", "generation time", From::independent, "reference S28's data", 3.4444444444, 1e-9, third->generation_time);
  check("LT03.r", "exact r", From::independent, lotka, 0.291363289507, 1e-10, third->growth);
  check("LT03.factor", "e^r", From::independent, lotka, 1.338250668075, 1e-10, third->factor);
  const auto fourth = life_table(rows(0, 1, {1, .8, .4, .1, 0}, {0, 2, 3, 1, 0}));
  ASSERT_TRUE(fourth.has_value());
  check("LT04.R0", "net reproduction", From::independent, "invented table, sums by hand", 2.9, 1e-12, fourth->net_reproduction);
  check("LT04.Tc", "generation time", From::independent, "invented table", 1.4827586207, 1e-9, fourth->generation_time);
  check("LT04.r", "exact r", From::independent, lotka, 0.776256738575, 1e-10, fourth->growth);
  check("LT04.factor", "e^r", From::independent, lotka, 2.173321708867, 1e-10, fourth->factor);
  const auto fifth = life_table(rows(10, 1, {.9, .9, .88, .86, .84, .8, .75, .7, .6, .5, .35}, {2, 3.5, 4, 4, 3.5, 3, 2.5, 2, 1.5, 1, .5}));
  ASSERT_TRUE(fifth.has_value());
  check("LT05.R0", "net reproduction", From::independent, "invented table, sums by hand", 22.1, 1e-9, fifth->net_reproduction);
  check("LT05.Tc", "generation time", From::independent, "invented table", 13.5642533937, 1e-9, fifth->generation_time);
  check("LT05.r", "exact r", From::independent, lotka, 0.239017723470, 1e-10, fifth->growth);
  check("LT05.factor", "e^r", From::independent, lotka, 1.270001045210, 1e-10, fifth->factor);
  check("LT05.doubling", "ln 2/r", From::independent, lotka, 2.89998235, 1e-7, fifth->doubling_time);
}

TEST(LifeTable, WhereThereIsNoRate) {
  EXPECT_FALSE(life_table({}).has_value());
  EXPECT_FALSE(life_table(rows(1, 1, {1, 1}, {0, 0})).has_value());
  EXPECT_FALSE(life_table(rows(0, 1, {1}, {3})).has_value());
  EXPECT_FALSE(life_table(rows(0, 1, {1, 1}, {1.5, 2})).has_value());
  const auto steady = life_table(rows(4, 1, {0.5}, {2}));
  ASSERT_TRUE(steady.has_value());
  EXPECT_NEAR(steady->growth, 0.0, 1e-15);
  const auto shrinking = life_table(rows(2, 1, {0.1}, {1}));
  ASSERT_TRUE(shrinking.has_value());
  EXPECT_NEAR(shrinking->growth, std::log(0.1) / 2.0, 1e-13);
  EXPECT_LT(shrinking->doubling_time, 0.0);
}

TEST(LifeTable, LotkasSumIsOneAtTheRate) {
  num::Draws draws({.seed = 21});
  for (int run = 0; run < 300; ++run) {
    std::vector<AgeClass> table;
    const int classes = 1 + run % 30;
    double alive = 1.0;
    for (int i = 0; i < classes; ++i) {
      alive *= draws.uniform();
      table.push_back({1.0 + i * draws.exponential(), alive, 40.0 * draws.gamma(0.3)});
    }
    const auto result = life_table(table);
    ASSERT_TRUE(result.has_value());
    EXPECT_NEAR(lotka_sum(table, result->growth), 1.0, 1e-11);
    EXPECT_EQ(result->growth > 0.0, result->net_reproduction > 1.0);
  }
}

TEST(StageGrowth, LeslieAndLefkovitch) {
  const std::string source = "Leslie 1945, eigenvalues recomputed";
  const auto row = [&](const std::string& id, double expected, double tolerance, double got) {
    check_row({"matrix." + id, "dominant eigenvalue or vector", source, "derived", From::independent, expected, tolerance, ""}, got);
  };
  const std::array<double, 9> leslie{0, 1.5, 2, .5, 0, 0, 0, .4, 0};
  const auto first = stage_growth(leslie, 3);
  ASSERT_TRUE(first.has_value());
  row("LM01.factor", 1.0615173515778, 1e-10, first->factor);
  row("LM01.stable.0", 0.60660668, 1e-8, first->stable[0]);
  row("LM01.stable.1", 0.28572622, 1e-8, first->stable[1]);
  row("LM01.stable.2", 0.10766709, 1e-8, first->stable[2]);
  row("LM01.value.1", 2.1230347, 1e-7, first->value[1]);
  row("LM01.value.2", 1.88409544, 1e-7, first->value[2]);
  // Its life table has the same growth: ages 2 and 3, births l·m = 0.5·1.5 and 0.2·2.
  EXPECT_NEAR(life_table(std::vector<AgeClass>{{2, .5, 1.5}, {3, .2, 2}})->factor, first->factor, 1e-12);

  const auto second = stage_growth(std::array<double, 9>{.6, 0, 8, .25, .5, 0, 0, .3, .7}, 3);
  ASSERT_TRUE(second.has_value());
  row("LM02.factor", 1.4473847401846, 1e-10, second->factor);
  row("LM02.stable.0", 0.73002962, 1e-8, second->stable[0]);
  row("LM02.stable.1", 0.19264339, 1e-8, second->stable[1]);
  row("LM02.stable.2", 0.07732699, 1e-8, second->stable[2]);

  const std::string caswell = "Caswell, Matrix Population Models, stage of fixed length, by hand";
  const auto step = [&](const std::string& id, double expected, double got) {
    check_row({"matrix.LM03." + id, "share of a stage per step", caswell, "derived", From::independent, expected, 1e-9, ""}, got);
  };
  const StageStep five = stage_step(.8, 5, 1);
  step("5.leaving", 0.1218467396, five.leaving);
  step("5.stay", 0.7025226083, five.stay);
  step("5.go_on", 0.0974773917, five.go_on);
  const StageStep ten = stage_step(.9, 10, 1.05);
  step("10.leaving", 0.0453931718, ten.leaving);
  step("10.stay", 0.8591461453, ten.stay);
  step("10.go_on", 0.0408538547, ten.go_on);
  EXPECT_DOUBLE_EQ(stage_step(.9, 4, .9).leaving, 0.25);
  EXPECT_NEAR(stage_step(.9, 4, .9 * (1 + 1e-9)).leaving, 0.25, 1e-8);
  EXPECT_NEAR(stage_step(.7, 1, 1.3).leaving, 1.0, 1e-12);
}

TEST(StageGrowth, AProjectionByHand) {
  // The reference's own: from (100, 0, 0).
  const std::array<double, 9> leslie{0, 1.5, 2, .5, 0, 0, 0, .4, 0};
  std::array<double, 3> now{100, 0, 0};
  for (int step = 0; step < 400; ++step) {
    std::array<double, 3> next{};
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j) next[i] += leslie[3 * i + j] * now[j];
    now = next;
    if (step == 4) {
      EXPECT_NEAR(now[0], 60, 1e-10);
      EXPECT_NEAR(now[1], 28.125, 1e-10);
      EXPECT_NEAR(now[2], 8, 1e-10);
    }
  }
  const auto growth = stage_growth(leslie, 3);
  EXPECT_NEAR(now[0] / (now[0] + now[1] + now[2]), growth->stable[0], 1e-9);
}

TEST(StageGrowth, TheVectorsAreTheMatrixsOwn) {
  num::Draws draws({.seed = 22});
  for (int run = 0; run < 200; ++run) {
    const auto n = static_cast<std::size_t>(1 + run % 9);
    std::vector<double> matrix(n * n, 0.0);
    for (std::size_t i = 0; i + 1 < n; ++i) {
      matrix[(i + 1) * n + i] = draws.uniform();
      if (run % 2 == 0) matrix[i * n + i] = draws.uniform();
    }
    // Odd runs: births in the last class only, a life cycle that beats in rhythm.
    matrix[n - 1] += 30.0 * draws.uniform();
    const auto growth = stage_growth(matrix, n);
    ASSERT_TRUE(growth.has_value()) << run;
    for (std::size_t i = 0; i < n; ++i) {
      double right = 0.0;
      double left = 0.0;
      for (std::size_t j = 0; j < n; ++j) {
        right += matrix[i * n + j] * growth->stable[j];
        left += matrix[j * n + i] * growth->value[j];
      }
      EXPECT_NEAR(right, growth->factor * growth->stable[i], 1e-11 * growth->factor);
      EXPECT_NEAR(left, growth->factor * growth->value[i], 1e-10 * growth->factor * growth->value[i]);
    }
    EXPECT_EQ(growth->value[0], 1.0);
  }
  EXPECT_FALSE(stage_growth(std::vector<double>{1, 2, 3}, 2).has_value());
  EXPECT_FALSE(stage_growth({}, 0).has_value());
  EXPECT_FALSE(stage_growth(std::vector<double>{0, 0, 0, 0}, 2).has_value());
  EXPECT_FALSE(stage_growth(std::vector<double>{0, -1, 1, 0}, 2).has_value());
  EXPECT_FALSE(stage_growth(std::vector<double>{0, std::nan(""), 1, 0}, 2).has_value());
  // After the last births a class is worth nothing.
  const auto old = stage_growth(std::vector<double>{0, 2, 0, .5, 0, 0, 0, .9, 0}, 3);
  ASSERT_TRUE(old.has_value());
  EXPECT_NEAR(old->value[2], 0.0, 1e-12);
  EXPECT_NEAR(old->factor, 1.0, 1e-12);
}

}  // namespace
}  // namespace leafturn::population
