// The closed form of a chain of stages, against the chain integrated and against the delay equation's published form.

#include "core/population/stage_chain.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "core/base/random.hpp"
#include "core/phenology/delay.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using test::check_row;
using test::From;

// The chain as differential equations, fourth-order Runge–Kutta, until it grows steadily; its rate.
double integrated_growth(const std::vector<ChainStage>& stages, const LayingStage& laying) {
  std::vector<ChainStage> all = stages;
  all.push_back(laying.life);
  std::size_t size = 0;
  for (const auto& stage : all) size += static_cast<std::size_t>(stage.substages);
  std::vector<double> now(size, 1.0);
  const auto slope = [&](const std::vector<double>& x) {
    std::vector<double> out(size, 0.0);
    std::size_t at = 0;
    double in = 0.0;
    for (std::size_t s = 0; s < all.size(); ++s) {
      const double rate = all[s].substages / all[s].days;
      for (int j = 0; j < all[s].substages; ++j, ++at) {
        out[at] += in - (rate + all[s].deaths_per_day) * x[at];
        in = rate * x[at];
        if (s + 1 == all.size()) out[0] += laying.young / laying.life.days * x[at];
      }
    }
    return out;
  };
  const auto moved = [&](const std::vector<double>& x, const std::vector<double>& d, double h) {
    std::vector<double> y = x;
    for (std::size_t i = 0; i < size; ++i) y[i] += h * d[i];
    return y;
  };
  double logs = 0.0;
  const double h = 0.05;
  const int steps = 60'000;
  for (int step = 0; step < steps; ++step) {
    const auto a = slope(now);
    const auto b = slope(moved(now, a, h / 2));
    const auto c = slope(moved(now, b, h / 2));
    const auto d = slope(moved(now, c, h));
    double total = 0.0;
    for (std::size_t i = 0; i < size; ++i) {
      now[i] += h / 6 * (a[i] + 2 * b[i] + 2 * c[i] + d[i]);
      total += now[i];
    }
    for (double& v : now) v /= total;
    if (step >= steps / 2) logs += std::log(total);
  }
  return logs / (h * (steps / 2));
}

TEST(StageChain, GrowsAsTheIntegratedChainDoes) {
  const std::vector<ChainStage> young{{4.0, 5, 0.08}, {12.0, 12, 0.06}, {7.0, 8, 0.02}};
  const LayingStage adults{{14.0, 3, 0.1}, 60.0};
  const double growth = growth_per_day(young, adults).value();
  check_row({"chain.growth", "growth of egg, larva, pupa, adult with deaths", "the chain integrated by Runge-Kutta, 3000 days", "derived",
             From::quadrature, integrated_growth(young, adults), 1e-7, "/d"},
            growth);
  EXPECT_GT(growth, 0.0);
  const LayingStage few{{14.0, 3, 0.1}, 4.0};
  EXPECT_NEAR(growth_per_day(young, few).value(), integrated_growth(young, few), 1e-7);
  EXPECT_LT(growth_per_day(young, few).value(), 0.0);
  // Live-bearing and short-lived, as aphids are: no egg stage.
  const std::vector<ChainStage> nymphs{{8.0, 16, 0.05}};
  const LayingStage mothers{{16.0, 4, 0.07}, 50.0};
  EXPECT_NEAR(growth_per_day(nymphs, mothers).value(), integrated_growth(nymphs, mothers), 1e-7);
}

// Adults that age so slowly that deaths alone end them: the delay equation with k substages.
TEST(StageChain, MeetsTheDelayEquation) {
  const double days = 1e7;
  const LayingStage adults{{days, 1, 0.1}, 4.0 * 0.2 * days};
  const std::vector<std::pair<int, double>> expected{
      {1, 0.126556443707}, {4, 0.087459003820}, {16, 0.078598949902}, {64, 0.076471935366}, {256, 0.075946115103}};
  for (const auto& [substages, growth] : expected) {
    const std::vector<ChainStage> young{{20.0, substages, 0.0}};
    check_row({"chain.delay." + std::to_string(substages), "growth with a delay of " + std::to_string(substages) + " substages",
               "Nisbet & Gurney 1983 (Theor. Popul. Biol. 23:114-135), births 4, survival .2, delay 20, deaths .1", "derived",
               From::independent, growth, 1e-6, "/d"},
              growth_per_day(young, adults).value());
    EXPECT_NEAR(growth_per_day(young, adults).value(), phenology::growth_rate({4.0, 0.2, 20.0, 0.1}, substages), 1e-6);
  }
}

TEST(StageChain, NetReproductionByHand) {
  const std::string source = "share that passes an Erlang stage, (1 + m*D/k)^-k (Manetsch 1976)";
  // ER attrition: mean 20, deaths .05, k 4: 0.4096 pass.
  const std::vector<ChainStage> young{{20.0, 4, 0.05}};
  const LayingStage undying{{10.0, 5, 0.0}, 30.0};
  check_row({"chain.reproduction", "30 young, .4096 of which grow up", source, "derived", From::independent, 30.0 * 0.4096, 1e-11, ""},
            discounted_reproduction(young, undying, 0.0));
  // One substage of 10 days with deaths .1: she lives 5 days on average and lays half.
  EXPECT_NEAR(discounted_reproduction({}, {{10.0, 1, 0.1}, 30.0}, 0.0), 15.0, 1e-12);
  // Without deaths, mean age at birth: what comes before, and half of k + 1 substages of laying.
  EXPECT_NEAR(mean_generation_days(std::vector<ChainStage>{{4.0, 5, 0.0}, {12.0, 2, 0.0}}, {{10.0, 4, 0.0}, 7.0}), 16.0 + 2.5 * 2.5, 1e-12);
  EXPECT_EQ(mean_generation_days({}, {{10.0, 4, 0.0}, 0.0}), 0.0);
  EXPECT_EQ(discounted_reproduction({}, {{10.0, 4, 0.0}, 0.0}, 0.0), 0.0);
  EXPECT_FALSE(growth_per_day({}, {{10.0, 4, 0.0}, 0.0}).has_value());
}

TEST(StageChain, RootsReallySolve) {
  num::Draws draws({.seed = 23});
  for (int run = 0; run < 500; ++run) {
    std::vector<ChainStage> young;
    for (int s = 0; s < run % 6; ++s)
      young.push_back({0.5 + 30.0 * draws.uniform(), 1 + static_cast<int>(draws.uniform() * 40.0), 0.3 * draws.uniform()});
    const LayingStage laying{{1.0 + 40.0 * draws.uniform(), 1 + static_cast<int>(draws.uniform() * 10.0), 0.3 * draws.uniform()},
                             std::exp(8.0 * draws.uniform() - 2.0)};
    const double growth = growth_per_day(young, laying).value();
    EXPECT_NEAR(discounted_reproduction(young, laying, growth), 1.0, 1e-10);
    const double net = discounted_reproduction(young, laying, 0.0);
    EXPECT_EQ(growth > 0.0, net > 1.0);
    // Deaths added to reach a net reproduction do so, and those of 1 are the growth itself.
    const double wanted = net * draws.uniform() * 2.0;
    const double added = added_deaths_per_day(young, laying, wanted).value();
    auto harder = young;
    for (auto& stage : harder) stage.deaths_per_day += added;
    LayingStage harder_laying = laying;
    harder_laying.life.deaths_per_day += added;
    EXPECT_NEAR(discounted_reproduction(harder, harder_laying, 0.0), wanted, 1e-9 * wanted);
    EXPECT_NEAR(added_deaths_per_day(young, laying, 1.0).value(), growth, 1e-12);
    // Growth times the generation is about ln R0: exact to second order, and never the other sign.
    EXPECT_GE(growth * std::log(net), 0.0);
  }
  EXPECT_FALSE(added_deaths_per_day({}, {{10.0, 4, 0.0}, 5.0}, 0.0).has_value());
}

}  // namespace
}  // namespace leafturn::population
