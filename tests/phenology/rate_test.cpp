#include "core/phenology/rate.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using test::check_row;
using test::From;

Temperature c(double v) { return Temperature::celsius(v); }

pest::LinearRate linear(double lower, double constant) {
  pest::LinearRate rate;
  rate.lower.value = c(lower);
  rate.constant.value = DegreeDays::celsius_days(constant);
  return rate;
}

TEST(Rate, DurationsFollowFromPublishedConstants) {
  struct Insect {
    const char* id;
    const char* name;
    double lower, constant;
    const char* source;
    std::vector<std::pair<double, double>> days;
  };
  const std::vector<Insect> insects{
      {"rate.plutella",
       "Plutella xylostella, whole development, subtropical strain",
       6.3,
       312.5,
       "development and survival of P. xylostella against temperature, 2011 (Neotrop. Entomol. 40(5)), abstract",
       {{10, 84.459459}, {15, 35.919540}, {20, 22.810219}, {25, 16.711230}, {30, 13.185654}}},
      {"rate.cydia",
       "Cydia pomonella, larva and pupa on apple",
       9.9,
       510,
       "Rock & Shaffer 1983 (Environ. Entomol. 12:831-834), abstract",
       {{16, 83.606557}, {21, 45.945946}, {27, 29.824561}, {32, 23.076923}}},
      {"rate.includens",
       "Nephus includens, before adult and before laying",
       10.9,
       490.5,
       "Kontodimas et al. 2004 (Environ. Entomol. 33:1-11), abstract",
       {{20, 53.9011}, {25, 34.7872}, {30, 25.6806}}},
      {"rate.bisignatus",
       "Nephus bisignatus",
       9.4,
       614.3,
       "Kontodimas et al. 2004 (Environ. Entomol. 33:1-11), abstract",
       {{20, 57.9528}, {25, 39.3782}, {30, 29.8204}}},
  };
  for (const Insect& insect : insects)
    for (const auto& [t, days] : insect.days)
      check_row({std::string(insect.id) + "." + std::to_string(static_cast<int>(t)),
                 std::string(insect.name) + " at " + std::to_string(static_cast<int>(t)) + " C",
                 std::string(insect.source) + "; days computed from its constants", "seen", From::independent, days, 1e-4, "d"},
                days_at(linear(insect.lower, insect.constant), c(t)).value());
}

TEST(Rate, NothingDevelopsAtOrBelowTheThresholdNorAtLethalHeat) {
  auto rate = linear(10, 100);
  EXPECT_EQ(days_at(rate, c(10)), std::nullopt);
  EXPECT_EQ(days_at(rate, c(-40)), std::nullopt);
  EXPECT_DOUBLE_EQ(rate_per_day(rate, c(40)), 0.3);
  rate.upper = {c(30), {}};
  EXPECT_DOUBLE_EQ(rate_per_day(rate, c(30)), 0.2);
  EXPECT_DOUBLE_EQ(rate_per_day(rate, c(34)), 0.2);
  rate.lethal = {c(35), {}};
  EXPECT_DOUBLE_EQ(rate_per_day(rate, c(34.999)), 0.2);
  EXPECT_EQ(days_at(rate, c(35)), std::nullopt);
}

TEST(Rate, SubstagesFollowTheSpread) {
  EXPECT_EQ(substages(0.5), 4);
  EXPECT_EQ(substages(0.25), 16);
  EXPECT_EQ(substages(0.2), 25);
  EXPECT_EQ(substages(1.0), 1);
  EXPECT_EQ(substages(3.0), 1);
  EXPECT_EQ(substages(0.01), 64);
  EXPECT_EQ(substages(0.0), 64);
}

TEST(Rate, ErlangDistributionMatchesTheTable) {
  struct ErlangRow {
    const char* id;
    double mean;
    int k;
    std::array<double, 5> at;  // 0.5, 0.8, 1, 1.2 and 1.5 times the mean
    double median, q05, q95;
  };
  const std::vector<ErlangRow> rows{
      {"ER01",
       20,
       4,
       {0.142876539501, 0.397480275594, 0.566529879633, 0.705770083503, 0.848796117223},
       18.36030374,
       6.83159198,
       38.76828264},
      {"ER02",
       20,
       16,
       {0.008231010987, 0.218977785806, 0.533255108612, 0.797941480862, 0.965599905940},
       19.58491193,
       12.54494592,
       28.87141220},
      {"ER03",
       312.5,
       25,
       {0.001192448848, 0.156772621826, 0.526601531444, 0.842757972762, 0.987403260238},
       308.34335459,
       217.27657302,
       421.90504093},
      {"ER04",
       100,
       1,
       {0.393469340287, 0.550671035883, 0.632120558829, 0.698805788088, 0.776869839852},
       69.31471806,
       5.12932944,
       299.57322736},
  };
  constexpr std::array times{0.5, 0.8, 1.0, 1.2, 1.5};
  const std::string source = "Erlang distribution function, closed form; scipy.stats.gamma";
  for (const ErlangRow& row : rows) {
    for (std::size_t i = 0; i < times.size(); ++i)
      check_row({std::string(row.id) + "." + std::to_string(i),
                 "Erlang CDF at " + std::to_string(times[i]) + " means, k " + std::to_string(row.k), source, "derived", From::independent,
                 row.at[i], 1e-11, ""},
                erlang_cdf(row.k, row.mean, times[i] * row.mean));
    EXPECT_NEAR(erlang_cdf(row.k, row.mean, row.median), 0.5, 1e-9);
    EXPECT_NEAR(erlang_cdf(row.k, row.mean, row.q05), 0.05, 1e-9);
    EXPECT_NEAR(erlang_cdf(row.k, row.mean, row.q95), 0.95, 1e-9);
  }
}

// A chain whose substages each pass on a share p per step delays by a negative binomial; the chain's survivors under a steady loss are
// (1 + loss·mean/k)^−k. Both are the textbook limits of the linear chain that season() integrates.
TEST(Rate, LinearChainLimits) {
  std::array<double, 4> chain{1.0, 0.0, 0.0, 0.0};
  double out = 0.0;
  for (int step = 0; step < 12; ++step) {
    std::array<double, 4> next{};
    for (std::size_t i = 0; i < 4; ++i) {
      next[i] += 0.6 * chain[i];
      (i + 1 < 4 ? next[i + 1] : out) += 0.4 * chain[i];
    }
    chain = next;
  }
  EXPECT_NEAR(out, 0.774662717440, 1e-11);

  const auto survivors = [](int k) {
    // ∫ e^{−μx} dF(x) from the distribution function, by parts.
    constexpr double loss = 0.05;
    constexpr double mean = 20.0;
    double total = 0.0;
    constexpr double step = 0.01;
    for (int i = 0; i < 60000; ++i) {
      const double x = (i + 0.5) * step;
      total += loss * std::exp(-loss * x) * erlang_cdf(k, mean, x) * step;
    }
    return total;
  };
  check_row({"erlang.attrition.k4", "survivors of a stage of 20 d, k 4, at a loss of 0.05/d",
             "delay attrition (1 + loss*mean/k)^-k, closed form", "derived", From::independent, 0.4096, 1e-6, ""},
            survivors(4));
  check_row({"erlang.attrition.k16", "the same with k 16", "delay attrition, closed form", "derived", From::independent, 0.379085331918,
             1e-6, ""},
            survivors(16));
}

TEST(Rate, ErlangStaysADistributionFarOut) {
  EXPECT_DOUBLE_EQ(erlang_cdf(64, 1.0, 1e6), 1.0);
  EXPECT_DOUBLE_EQ(erlang_cdf(64, 1.0, 0.0), 0.0);
  double before = 0.0;
  for (int i = 1; i < 2000; ++i) {
    const double now = erlang_cdf(64, 10.0, i * 0.05);
    EXPECT_GE(now, before - 1e-13);
    EXPECT_LE(now, 1.0);
    before = now;
  }
}

}  // namespace
}  // namespace leafturn::phenology
