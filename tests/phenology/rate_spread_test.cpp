// How individuals spread around the mean: Weibull, log-logistic, discrete substages, attrition, and the chain's limit, the fixed delay.

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "core/phenology/chain.hpp"
#include "core/phenology/delay.hpp"
#include "core/phenology/rate.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using test::check_row;
using test::From;

TEST(RateSpread, WeibullAndLogLogistic) {
  const Weibull spread{0.75, 0.28, 2.6};
  const std::string wagner = "Wagner et al. 1984 (Ann. Entomol. Soc. Am. 77:475-487), three-parameter Weibull, closed form";
  const std::vector<std::pair<double, double>> weibull{
      {0.8, 0.011278476838}, {0.9, 0.179092727299}, {1.0, 0.525165428745}, {1.1, 0.832428953442}, {1.25, 0.989062466136}};
  for (const auto& [x, f] : weibull)
    check_row({"weibull." + std::to_string(static_cast<int>(x * 100)), "Weibull (.75, .28, 2.6) at " + std::to_string(x), wagner, "derived",
               From::independent, f, 1e-11, ""},
              weibull_cdf(spread, x));
  check_row({"weibull.median", "its value at the median 0.9931851519", wagner, "derived", From::independent, 0.5, 1e-9, ""},
            weibull_cdf(spread, 0.9931851519));
  EXPECT_EQ(weibull_cdf(spread, 0.75), 0.0);
  EXPECT_EQ(weibull_cdf(spread, -1.0), 0.0);
  EXPECT_EQ(weibull_cdf(spread, 1e6), 1.0);
  // Mean by parts: start + ∫ (1 − F).
  double mean = 0.75;
  for (int i = 0; i < 200000; ++i) mean += (1.0 - weibull_cdf(spread, 0.75 + (i + 0.5) * 1e-5)) * 1e-5;
  check_row({"weibull.mean", "mean of Weibull (.75, .28, 2.6)", wagner, "derived", From::independent, 0.9986989217, 1e-8, ""}, mean);

  const std::vector<std::pair<double, double>> logistic{
      {0.8, 0.064300762017}, {0.9, 0.220230062118}, {1.0, 0.5}, {1.1, 0.758362376011}, {1.25, 0.935699237983}};
  for (const auto& [x, f] : logistic)
    check_row({"loglogistic." + std::to_string(static_cast<int>(x * 100)), "log-logistic, slope 12, at " + std::to_string(x),
               "closed form 1/(1 + x^-s)", "derived", From::independent, f, 1e-11, ""},
              log_logistic_cdf(12.0, x));
  EXPECT_EQ(log_logistic_cdf(12.0, 0.0), 0.0);
  EXPECT_EQ(log_logistic_cdf(12.0, 1e300), 1.0);
}

TEST(RateSpread, SubstagesByStepsAreNegativeBinomial) {
  const std::vector<std::pair<int, double>> expected{
      {4, 0.0256}, {8, 0.4059136}, {10, 0.6177193984}, {12, 0.774662717440}, {16, 0.934853258248}};
  std::array<double, 4> chain{1.0, 0.0, 0.0, 0.0};
  double out = 0.0;
  double mean = 0.0;
  double square = 0.0;
  int step = 0;
  const auto advance = [&] {
    std::array<double, 4> next{};
    const double before = out;
    for (std::size_t i = 0; i < 4; ++i) {
      next[i] += 0.6 * chain[i];
      (i + 1 < 4 ? next[i + 1] : out) += 0.4 * chain[i];
    }
    chain = next;
    ++step;
    mean += step * (out - before);
    square += static_cast<double>(step) * step * (out - before);
  };
  for (const auto& [at, share] : expected) {
    while (step < at) advance();
    check_row({"substages.step." + std::to_string(at), "share out of 4 substages, 0.4 passing on a step, after " + std::to_string(at),
               "negative binomial distribution, closed form", "derived", From::independent, share, 1e-11, ""},
              out);
  }
  while (step < 400) advance();
  EXPECT_NEAR(mean, 10.0, 1e-9);
  EXPECT_NEAR(square - mean * mean, 15.0, 1e-9);
}

// Loss through the chain that season() uses: with k substages left at rate k·r, a loss of μ from each lets (1 + μ·mean/k)^−k through.
// Loss by steps (half before, half after) is second order in the step.
TEST(RateSpread, AttritionOfTheChain) {
  const std::vector<std::pair<int, double>> expected{{1, 0.5}, {4, 0.4096}, {16, 0.379085331918}};
  constexpr double mean = 20.0;
  constexpr double loss = 0.05;
  for (const auto& [k, share] : expected) {
    Chain chain{{k, 1}, std::nullopt};
    // As a season does: shares move with the chain, and what is lost is lost from all alike, so it is a factor beside them.
    std::vector<double> rates{1.0 / mean, 0.0};
    double alive = 1.0;
    double through = 0.0;
    ChainFlow flow;
    for (int hour = 0; hour < 24 * 400; ++hour) {
      ChainStep step{.rate_per_day = rates};
      if (hour == 0) step.inflow = 1.0;
      chain.advance(step, flow);
      // Over the hour the loss falls exponentially; those passing in its middle have lost half an hour's.
      through += flow.entered[1] * alive * std::exp(-loss / 48.0);
      alive *= std::exp(-loss / 24.0);
    }
    // The unit came in over the first hour, in its middle on average: half an hour less of loss.
    through *= std::exp(loss / 48.0);
    check_row(
        {"attrition.k" + std::to_string(k), "share through 20 d at a loss of .05/d, " + std::to_string(k) + " substages, by our chain",
         "delay attrition (1 + loss*mean/k)^-k, closed form", "derived", From::independent, share, 2e-6, ""},
        through);
  }
}

TEST(RateSpread, GrowthWithADelay) {
  const DelayedBirths births{.births_per_day = 4.0, .survival = 0.2, .delay_days = 20.0, .deaths_per_day = 0.1};
  const std::string source = "A' = b s A(t - tau) - d A (Nisbet & Gurney 1983, Theor. Popul. Biol. 23:114-135): ";
  check_row({"dde.r", "growth rate, b 4, s .2, tau 20 d, d .1", source + "Lambert W", "derived", From::independent, 0.0757713782212, 1e-12,
             "1/d"},
            growth_rate(births, std::nullopt));
  const std::vector<std::pair<int, double>> chains{
      {1, 0.126556443707}, {4, 0.087459003820}, {16, 0.078598949902}, {64, 0.076471935366}, {256, 0.075946115103}};
  for (const auto& [k, r] : chains)
    check_row({"dde.r.k" + std::to_string(k), "the same with " + std::to_string(k) + " substages", source + "characteristic equation",
               "derived", From::independent, r, 1e-12, "1/d"},
              growth_rate(births, k));
  EXPECT_NEAR(growth_rate({1.0, 0.5, 0.0, 0.2}, std::nullopt), 0.3, 1e-12);
  EXPECT_NEAR(growth_rate({0.0, 0.5, 10.0, 0.2}, std::nullopt), -0.2, 1e-12);
  const DelayedBirths fading{1.0, 0.05, 10.0, 0.2};  // r + d = b·s·e^(−rτ), r < 0
  const double r = growth_rate(fading, std::nullopt);
  EXPECT_LT(r, 0.0);
  EXPECT_NEAR(r + 0.2, 0.05 * std::exp(-10.0 * r), 1e-12);
}

// The same population by our chain: adults A, young in k substages, history A = 1. As k grows it tends to the fixed delay, whose course the
// method of steps gives exactly; the rest is of order 1/k, so two lengths of chain point at the limit (less well on day 20 and 40, where
// the course of the fixed delay has its kinks).
double adults_by_chain(int k, int days) {
  constexpr double recruits = 0.8;
  constexpr double loss = 0.1;
  Chain chain{{k, 1}, std::nullopt};
  chain.place_evenly(0, recruits * 20.0);
  std::vector<double> rates{1.0 / 20.0, 0.0};
  double adults = 1.0;
  double before = 1.0;
  ChainFlow flow;
  for (int hour = 0; hour < 24 * days; ++hour) {
    const double middle = adults + 0.5 * (adults - before);
    chain.advance({.rate_per_day = rates, .inflow = recruits * middle / 24.0}, flow);
    before = adults;
    adults = adults * std::exp(-loss / 24.0) + flow.entered[1] * std::exp(-loss / 48.0);
  }
  return adults;
}

TEST(RateSpread, ChainTendsToTheFixedDelay) {
  const std::vector<std::pair<int, double>> expected{{5, 3.754285382012},   {10, 5.424843911800},  {20, 7.052653017344},
                                                     {25, 12.476829593772}, {30, 22.448993110223}, {40, 41.135462944028}};
  for (const auto& [day, adults] : expected) {
    const double coarse = adults_by_chain(64, day);
    const double fine = adults_by_chain(256, day);
    EXPECT_LT(std::abs(fine - adults), 0.5 * std::abs(coarse - adults) + 1e-4) << day;
    check_row(
        {"dde.a" + std::to_string(day), "A(" + std::to_string(day) + ") of that population by our chain, k 64 and 256 drawn out to none",
         "method of steps, independent", "derived", From::independent, adults, (day % 20 == 0 ? 6e-3 : 1.5e-3) * adults, ""},
        fine + (fine - coarse) / 3.0);
  }
}

}  // namespace
}  // namespace leafturn::phenology
