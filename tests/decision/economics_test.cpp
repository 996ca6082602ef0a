// The arithmetic of decisions against the worked numbers of the reference (methods §6).

#include "core/decision/economics.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/base/random.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::decision {
namespace {

using test::check_row;
using test::From;

double level(double c, double v, double i, double d, double k) {
  return injury_level({Money::of(c), Money::of(v), i, d, k}).value_or(-1.0);
}

TEST(Economics, InjuryLevels) {
  // Loss per pest: 10 % of the crop to 800 pests an acre.
  check_row({"eil.teaching", "C 20 $/acre, 800 pests/acre, V 500 $/acre, 10 % lost: pests an acre",
             "university teaching page on the economic injury level, read 2026 (reference S48)", "seen", From::published, 320.0, 1e-9,
             "per acre"},
            level(20, 500, 1, 0.1 / 800, 1));
  check_row({"eil.teaching_k", "the same where the control prevents 80 %", "closed form C/(V I D K), Pedigo, Hutchins & Higley 1986",
             "derived", From::independent, 400.0, 1e-9, "per acre"},
            level(20, 500, 1, 0.1 / 800, 0.8));
  check_row({"eil.02", "C 30, V 900, I 1, D 0.004, K 0.85", "closed form C/(V I D K), Pedigo, Hutchins & Higley 1986", "derived",
             From::independent, 9.8039215686, 1e-9, "pests"},
            level(30, 900, 1, 0.004, 0.85));
  check_row({"eil.03", "C 12, V 0.4, I 250, D 0.0006, K 0.9", "closed form C/(V I D K), Pedigo, Hutchins & Higley 1986", "derived",
             From::independent, 222.2222222222, 1e-9, "pests"},
            level(12, 0.4, 250, 0.0006, 0.9));
  check_row({"eil.04", "C 25, V 1500, I 1, D 0.01, K 0.7", "closed form C/(V I D K), Pedigo, Hutchins & Higley 1986", "derived",
             From::independent, 2.3809523810, 1e-9, "pests"},
            level(25, 1500, 1, 0.01, 0.7));
  EXPECT_FALSE(injury_level({Money::of(20), Money::of(500), 1, 0, 1}));  // harmless: no level
}

TEST(Economics, ActingBeforeTheInjuryLevel) {
  check_row({"et.factor", "injury level 10, 1.13 a day, 4 days", "closed form EIL/lambda^delay", "derived", From::independent, 6.1331872768,
             1e-9, "pests"},
            action_level(10, 1.13, 4));
  check_row({"et.rate", "injury level 10, rate 0.12 a day, 5 days", "closed form EIL exp(-r delay)", "derived", From::independent,
             5.48811636, 1e-7, "pests"},
            action_level(10, std::exp(0.12), 5));
}

TEST(Economics, LossThatLevelsOff) {
  const Hyperbola loss{0.02, 0.6};
  check_row({"cousens.threshold", "a 0.02, B 0.6, C 60, V 3000, a tenth survives: density at which treating pays",
             "Cousens hyperbola, root found independently", "derived", From::independent, 1.1584738818, 1e-9, "pests"},
            paying_density(loss, Money::of(60), Money::of(3000), 0.1).value_or(-1.0));
  check_row({"cousens.linear", "the same with a loss that never levels off", "closed form C/(V a (1 - s))", "derived", From::independent,
             1.1111111111, 1e-6, "pests"},
            paying_density({0.02, 1e9}, Money::of(60), Money::of(3000), 0.1).value_or(-1.0));
  EXPECT_NEAR(share_lost(loss, 1e12), 0.6, 1e-9);
  EXPECT_FALSE(paying_density(loss, Money::of(60), Money::of(70), 0.1));          // dearer than all there is to save
  EXPECT_FALSE(paying_density({0.0, 1.0}, Money::of(60), Money::of(3000), 0.1));  // harmless
  const double all = paying_density(loss, Money::of(60), Money::of(3000), 0.0).value_or(-1.0);
  EXPECT_NEAR(3000 * share_lost(loss, all), 60.0, 1e-9);
}

/// Densities 1, 4, 12 with prior .5, .3, .2; damage 15 a pest; treating costs 40 and removes 80 %.
LossTable invented() { return {{0.5, 0.3, 0.2}, {{15, 60, 180}, {40 + 3, 40 + 12, 40 + 36}}}; }

double poisson(int n, double mean) {
  double p = std::exp(-mean);
  for (int i = 1; i <= n; ++i) p *= mean / i;
  return p;
}

std::vector<double> five_plants(int total) { return {poisson(total, 0.5), poisson(total, 2.0), poisson(total, 6.0)}; }

TEST(Economics, ChoosingUnderDoubtAndTheWorthOfKnowing) {
  const char* source = "expected loss and preposterior analysis worked independently (reference BD01, invented densities)";
  const LossTable table = invented();
  const Decided now = decide(table);
  check_row({"bd.none", "expected loss of doing nothing", source, "derived", From::independent, 61.5, 1e-9, "money"}, now.expected[0]);
  check_row({"bd.treat", "expected loss of treating", source, "derived", From::independent, 52.3, 1e-9, "money"}, now.expected[1]);
  EXPECT_EQ(now.best, 1U);
  check_row({"bd.evpi", "worth of perfect information", source, "derived", From::independent, 14.0, 1e-9, "money"},
            value_of_perfect_information(table));
  std::vector<std::vector<double>> outcomes;
  for (int t = 0; t < 60; ++t) outcomes.push_back(five_plants(t));
  check_row({"bd.evsi", "worth of counting five plants before choosing", source, "derived", From::independent, 11.40182350, 1e-7, "money"},
            value_of_sample_information(table, outcomes));
  check_row({"bd.break_even", "density at which treating pays: 15 d = 40 + 3 d", source, "derived", From::independent, 3.3333333333, 1e-9,
             "pests"},
            level(40, 15, 1, 1, 0.8));
  const double loss_none[] = {20.5431, 32.5772, 55.0400, 83.7210, 118.1563};
  const double loss_treat[] = {44.1086, 46.5154, 51.0080, 56.7442, 63.6313};
  for (int t = 0; t < 5; ++t) {
    LossTable after = table;
    after.belief = updated(table.belief, five_plants(t));
    const Decided then = decide(after);
    const std::string at = std::to_string(t);
    check_row({"bd.none." + at, at + " found on five plants: loss of doing nothing", source, "derived", From::independent, loss_none[t],
               1e-4, "money"},
              then.expected[0]);
    check_row({"bd.treat." + at, at + " found on five plants: loss of treating", source, "derived", From::independent, loss_treat[t], 1e-4,
               "money"},
              then.expected[1]);
    EXPECT_EQ(then.best, t < 2 ? 0U : 1U);
  }
}

TEST(Economics, LookingNeverCostsMoreThanItTellsNorSavesMoreThanKnowing) {
  num::Draws draws({.seed = 7});
  for (int trial = 0; trial < 200; ++trial) {
    LossTable table;
    const int states = 2 + trial % 4, actions = 1 + trial % 3, outcomes = 2 + trial % 5;
    double sum = 0.0;
    for (int s = 0; s < states; ++s) sum += table.belief.emplace_back(draws.uniform());
    for (double& b : table.belief) b /= sum;
    for (int a = 0; a < actions; ++a) {
      auto& loss = table.loss.emplace_back();
      for (int s = 0; s < states; ++s) loss.push_back(100.0 * draws.uniform());
    }
    std::vector<std::vector<double>> likelihood(static_cast<std::size_t>(outcomes), std::vector<double>(static_cast<std::size_t>(states)));
    for (int s = 0; s < states; ++s) {
      double column = 0.0;
      for (auto& o : likelihood) column += o[static_cast<std::size_t>(s)] = draws.uniform();
      for (auto& o : likelihood) o[static_cast<std::size_t>(s)] /= column;
    }
    const double sample = value_of_sample_information(table, likelihood);
    EXPECT_GE(sample, -1e-9);
    EXPECT_LE(sample, value_of_perfect_information(table) + 1e-9);
    EXPECT_NEAR(value_of_sample_information(table, std::vector<std::vector<double>>{std::vector<double>(table.belief.size(), 1.0)}), 0.0,
                1e-9);
  }
}

}  // namespace
}  // namespace leafturn::decision
