// Every published form against values computed outside the project (double-precision evaluation of the printed formula, Topt by
// differentiation and by numerical maximisation): rows RF01 to RF13.

#include "tests/phenology/rate_forms.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/phenology/rate.hpp"
#include "core/phenology/rate_limits.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using leafturn::test::check_row;
using leafturn::test::From;
using namespace test;  // the examples

struct Expected {
  std::string id, what, source;
  pest::RateModel model;
  std::vector<std::pair<double, double>> rates;  // °C, per day
  double tolerance = 2e-10;
  std::optional<double> optimum{}, highest{}, lower_zero{}, upper_zero{};
  double optimum_tolerance = 1e-9;
};

void check(const Expected& e) {
  for (const auto& [t, rate] : e.rates)
    check_row({e.id + "." + std::to_string(static_cast<int>(t)), e.what + " at " + std::to_string(static_cast<int>(t)) + " C", e.source,
               "derived", From::independent, rate, e.tolerance, "1/d"},
              rate_per_day(e.model, celsius(t)));
  const auto best = optimum(e.model);
  if (e.optimum) {
    ASSERT_TRUE(best) << e.id;
    check_row({e.id + ".topt", e.what + ": temperature of fastest development", e.source, "derived", From::independent, *e.optimum,
               e.optimum_tolerance, "C"},
              best->at.celsius());
  }
  if (e.highest)
    check_row({e.id + ".rmax", e.what + ": highest rate", e.source, "derived", From::independent, *e.highest, 2e-10, "1/d"},
              best.value().rate_per_day);
  const auto ends = limits(e.model);
  if (e.lower_zero)
    check_row({e.id + ".zero.lower", e.what + ": lower zero", e.source, "derived", From::independent, *e.lower_zero, 1e-9, "C"},
              ends.lower.value().celsius());
  if (e.upper_zero)
    check_row({e.id + ".zero.upper", e.what + ": upper zero", e.source, "derived", From::independent, *e.upper_zero, 1e-9, "C"},
              ends.upper.value().celsius());
}

TEST(RateForms, Briere) {
  const std::string formula = "Briere et al. 1999 (Environ. Entomol. 28:22-29), formula evaluated independently";
  check({.id = "RF01",
         .what = "Briere-1, Aedes aegypti larvae (a 7.86e-5, T0 11.36, TL 39.17)",
         .source = formula + "; parameters as used in mosquito research code",
         .model = briere(7.86e-5, 11.36, 39.17),
         .rates = {{15, 0.0210985939}, {20, 0.0594671795}, {25, 0.1008931892}, {28, 0.1223941008}, {30, 0.1330988725}, {35, 0.1328024509}},
         .optimum = 32.7107092378,
         .highest = 0.1395138200,
         .lower_zero = 11.36,
         .upper_zero = 39.17});
  check({.id = "RF02",
         .what = "Briere-1 (a 1.2e-4, T0 8, TL 35)",
         .source = formula,
         .model = briere(1.2e-4, 8, 35),
         .rates = {{20, 0.1115419204}, {25, 0.1612761607}, {30, 0.1770965838}},
         .optimum = 28.9283678107,
         .highest = 0.1790165831});
  check_row(
      {"RF02.exact", "Briere-1 (a 1.2e-4, T0 8, TL 35) at 10 C: a*10*2*5", formula, "derived", From::independent, 0.012, 1e-12, "1/d"},
      rate_per_day(briere(1.2e-4, 8, 35), celsius(10)));
  check({.id = "RF03",
         .what = "Briere-2 (a 1.1e-4, T0 8, TL 35, m 3.5)",
         .source = formula,
         .model = briere(1.1e-4, 8, 35, 3.5),
         .rates = {{10, 0.0055186660}, {20, 0.0572308243}, {25, 0.0902601188}, {30, 0.1149853036}},
         .optimum = 31.1985333767,
         .highest = 0.1165970952});
}

TEST(RateForms, LactinAndLogan) {
  const std::string lactin_source = "Lactin et al. 1995 (Environ. Entomol. 24:68-75), formula evaluated independently";
  check({.id = "RF04",
         .what = "Lactin-2 (rho .0065, Tm 39, delta 1.8, lambda -1.06)",
         .source = lactin_source,
         .model = lactin(0.0065, 39.0, 1.8, -1.06),
         .rates = {{15, 0.0424093547}, {20, 0.0787948193}, {25, 0.1159085001}, {30, 0.1466289573}},
         .optimum = 30.8985130154,
         .highest = 0.1481271505,
         .lower_zero = 8.9644579976,
         .upper_zero = 35.6539448820});
  check({.id = "RF05",
         .what = "Lactin-2 (rho .16, Tm 37, delta 6.2, lambda -.05)",
         .source = lactin_source,
         .model = lactin(0.16, 37.0, 6.2, -0.05),
         .rates = {{15, 0.2585163161}, {25, 0.7888793999}},
         .optimum = 30.7750669346,
         .lower_zero = 0.5245768535,
         .upper_zero = 36.8941642854});
  const std::string logan_source = "Logan et al. 1976 (Environ. Entomol. 5:1133-1140), formula evaluated independently";
  check({.id = "RF06",
         .what = "Logan-6 (psi .02, rho .13, Tm 36, delta 5.5)",
         .source = logan_source,
         .model = logan(0.02, 0.13, 0.0, 36.0, 5.5),
         .rates = {{15, 0.0932245265}, {20, 0.1517509021}, {25, 0.2241049324}, {30, 0.2640259656}, {36, 0.0}},
         .optimum = 29.5259647383,
         .highest = 0.2647647222,
         .upper_zero = 36.0});
  check({.id = "RF07",
         .what = "Logan-10 (alpha .12, k 90, rho .2, Tm 38, delta 1.6)",
         .source = logan_source,
         .model = logan10(0.12, 90.0, 0.20, 0.0, 38.0, 1.6),
         .rates = {{15, 0.0218944009}, {20, 0.0453086869}, {25, 0.0746649616}, {30, 0.0973037897}},
         .optimum = 32.55667,
         .highest = 0.1018437450,
         .upper_zero = 37.9285181401,
         .optimum_tolerance = 5e-6});
  // Only differences from the base count: the same curve 7 °C higher.
  for (const double t : {12.0, 25.0, 37.0, 42.9}) {
    EXPECT_NEAR(rate_per_day(logan(0.02, 0.13, 7.0, 43.0, 5.5), celsius(t)),
                rate_per_day(logan(0.02, 0.13, 0.0, 36.0, 5.5), celsius(t - 7.0)), 1e-12);
    EXPECT_NEAR(rate_per_day(logan10(0.12, 90, 0.2, 7.0, 45.0, 1.6), celsius(t)),
                rate_per_day(logan10(0.12, 90, 0.2, 0.0, 38.0, 1.6), celsius(t - 7.0)), 1e-12);
  }
}

TEST(RateForms, Schoolfield) {
  const std::string source =
      "Schoolfield, Sharpe & Magnuson 1981 (J. Theor. Biol. 88:719-731), formula evaluated independently; kelvin = C + 273.15";
  check({.id = "RF08",
         .what = "Schoolfield, Aedes aegypti larvae (.2088, 26018, 55990, 304.6)",
         .source = source,
         .model = schoolfield(0.2088, 26018, std::nullopt, {{55990, 304.6}}),
         .rates = {{15, 0.04373093}, {20, 0.09451793}, {25, 0.18393845}, {30, 0.26671553}},
         .tolerance = 1e-8});
  check({.id = "RF09",
         .what = "Schoolfield, Aedes aegypti eggs (.24, 10798, 100000, 14184)",
         .source = source,
         .model = schoolfield(0.24, 10798, std::nullopt, {{100000, 14184}}),
         .rates = {{15, 0.12322076}, {20, 0.17292329}, {25, 0.24}, {30, 0.32960453}},
         .tolerance = 1e-8});
  check({.id = "RF10",
         .what = "Schoolfield, six parameters (.10, 15000, 283, -60000, 306, 80000)",
         .source = source,
         .model = schoolfield(0.10, 15000, {{-60000, 283}}, {{80000, 306}}),
         .rates = {{10, 0.0127678596}, {15, 0.0349398772}, {20, 0.0621031352}, {25, 0.0965515173}, {30, 0.1195722409}, {35, 0.0670735921}},
         .optimum = 29.598427,
         .highest = 0.1198760738,
         .optimum_tolerance = 2e-6});
  EXPECT_FALSE(optimum(schoolfield(0.24, 10798, std::nullopt, {{100000, 14184}}))) << "no inactivation that a thermometer shows";
  EXPECT_FALSE(optimum(schoolfield(0.24, 10798, std::nullopt, std::nullopt)));
  EXPECT_FALSE(limits(schoolfield(0.10, 15000, {{-60000, 283}}, {{80000, 306}})).lower);
}

TEST(RateForms, KontodimasAndBeta) {
  check({.id = "RF11",
         .what = "Kontodimas (a 6e-5, 9.5, 36)",
         .source = "Kontodimas et al. 2004 (Environ. Entomol. 33:1-11), formula evaluated independently",
         .model = kontodimas(6e-5, 9.5, 36.0),
         .rates = {{15, 0.038115}, {20, 0.10584}, {25, 0.158565}, {30, 0.15129}},
         .optimum = 27.1666666667,
         .highest = 0.1654188889});
  const std::string yin = "Yin et al. 1995 (Agric. For. Meteorol. 77:1-16), formula evaluated independently";
  // The cardinal form Rm·(Tc−T)/(Tc−To)·((T−Tb)/(To−Tb))^((To−Tb)/(Tc−To)) is this one with β = 1.
  const double power = 22.0 / 7.0;
  check({.id = "RF12",
         .what = "beta in its cardinal form (Rm .08, Tb 8, To 30, Tc 37)",
         .source = yin,
         .model = beta(std::log(0.08 / 7.0) - power * std::log(22.0), power, 1.0, 8.0, 37.0),
         .rates = {{10, 0.0001645915}, {15, 0.0068769256}, {20, 0.0289141643}, {25, 0.0609895829}, {30, 0.08}, {35, 0.0435061910}},
         .optimum = 30.0,
         .highest = 0.08});
  check({.id = "RF13",
         .what = "beta (mu -10, alpha 2.2, beta .7, 8, 37)",
         .source = yin,
         .model = beta(-10.0, 2.2, 0.7, 8.0, 37.0),
         .rates = {{15, 0.0285737174}, {20, 0.0780850994}, {25, 0.1316647989}},
         .optimum = 30.0,
         .highest = 0.1592039016,
         .lower_zero = 8.0,
         .upper_zero = 37.0});
}

// A fluctuating day is not its mean: Jensen's inequality, known in this trade as Kaufmann's effect.
TEST(RateForms, FluctuationMatters) {
  const auto model = briere(1.2e-4, 8, 35);
  const auto rate = [&](double t) { return rate_per_day(model, celsius(t)); };
  const std::string source = "curve of RF02 averaged over the day by independent quadrature";
  const auto row = [&](const char* id, const char* what, double expected, double got) {
    check_row({id, what, source, "derived", From::quadrature, expected, 2e-10, "1/d"}, got);
  };
  row("jensen.10-30", "half a day at 10 C and half at 30 C (constant 20 C: 0.1115419204)", 0.0945482919, 0.5 * (rate(10) + rate(30)));
  row("jensen.15-25", "half a day at 15 C and half at 25 C", 0.1088125369, 0.5 * (rate(15) + rate(25)));
  const auto sine = [&](double mean, double swing) {
    constexpr int steps = 20000;
    double sum = 0.0;
    for (int i = 0; i < steps; ++i) sum += rate(mean + swing * std::sin(2.0 * 3.14159265358979 * (i + 0.5) / steps));
    return sum / steps;
  };
  row("jensen.sine.20-8", "sine of 20 C, 8 K up and down", 0.1075103099, sine(20, 8));
  row("jensen.sine.28-6", "sine of 28 C, 6 K up and down", 0.1510266172, sine(28, 6));
  row("jensen.constant.28", "constant 28 C", 0.1777944881, rate(28));
}

TEST(RateForms, OnlyALinearRateDoesNotMindFluctuation) {
  const pest::RateModel line = linear(9.0, 300.0);
  for (double mean = 14.0; mean < 30.0; mean += 1.7)
    for (double swing = 0.3; swing < 5.0; swing += 0.9) {
      double sum = 0.0;
      for (const double part : {-1.0, -0.6, 0.1, 0.5, 1.0}) sum += rate_per_day(line, celsius(mean + swing * part)) / 5.0;
      EXPECT_NEAR(sum, rate_per_day(line, celsius(mean)), 1e-15);
    }
}

TEST(RateForms, EveryFormIsARateEverywhere) {
  for (const auto& [name, model] : every_form()) {
    SCOPED_TRACE(name);
    EXPECT_EQ(pest::word_for(model), name);
    const auto ends = limits(model);
    const auto best = optimum(model);
    ASSERT_TRUE(best);
    double before = rate_per_day(model, celsius(-60.0));
    for (double t = -60.0; t <= 90.0; t += 0.001) {
      const double rate = rate_per_day(model, celsius(t));
      ASSERT_TRUE(std::isfinite(rate) && rate >= 0.0) << t;
      ASSERT_LE(rate, best->rate_per_day * (1.0 + 1e-12)) << t;
      // Continuous: a thousandth of a degree moves it by no more than a root near its zero can (Brière: a·T·(T − T0)·√0.001).
      ASSERT_NEAR(rate, before, 0.3 * best->rate_per_day) << t;
      if (ends.lower && t <= ends.lower->celsius() - 1e-9) {
        ASSERT_EQ(rate, 0.0) << t;
      }
      if (ends.upper && t >= ends.upper->celsius() + 1e-9) {
        ASSERT_EQ(rate, 0.0) << t;
      }
      if (t > ends.lower.value_or(celsius(10)).celsius() + 0.01 && t < ends.upper.value_or(celsius(35)).celsius() - 0.01) {
        ASSERT_GT(rate, 0.0) << t;
      }
      before = rate;
    }
    // At the very edges, from inside.
    if (ends.lower) {
      EXPECT_LT(rate_per_day(model, *ends.lower + TemperatureSpan::kelvin(1e-6)), 1e-4 * best->rate_per_day);
    }
    if (ends.upper) {
      EXPECT_LT(rate_per_day(model, *ends.upper - TemperatureSpan::kelvin(1e-9)), 0.02 * best->rate_per_day);
    }
    for (const double far : {-273.15, -1e6, 1e3, 1e6, 1e300, -1e300, std::nan("")})
      EXPECT_EQ(rate_per_day(model, celsius(far)) - rate_per_day(model, celsius(far)), 0.0) << far;
  }
}

TEST(RateForms, NonsenseParametersDescribeNoRate) {
  EXPECT_EQ(rate_per_day(lactin(0.3, 37, 6.2, -0.05), celsius(40)), 0.0) << "falls more slowly than it rises";
  EXPECT_EQ(rate_per_day(logan(0.02, 0.3, 0, 36, 5.5), celsius(40)), 0.0);
  EXPECT_EQ(rate_per_day(briere(1e-4, 35, 8), celsius(20)), 0.0);
  EXPECT_EQ(rate_per_day(briere(1e-4, 8, 35, 0.0), celsius(20)), 0.0);
  EXPECT_EQ(rate_per_day(briere(1e-4, -20, 35), celsius(-5)), 0.0) << "T is a factor: nothing below 0 C";
  EXPECT_EQ(limits(briere(1e-4, -20, 35)).lower->celsius(), 0.0);
  EXPECT_EQ(rate_per_day(linear(10, 0), celsius(20)), 0.0);
  EXPECT_EQ(rate_per_day(schoolfield(0.1, 1e9, std::nullopt, std::nullopt), celsius(60)), 0.0) << "overflows";
  EXPECT_EQ(rate_per_day(table({}), celsius(20)), 0.0);
  EXPECT_EQ(rate_per_day(table({{20, std::nullopt}}), celsius(20)), 0.0);
  EXPECT_FALSE(optimum(table({{20, std::nullopt}})));
  EXPECT_FALSE(limits(lactin(0.3, 37, 6.2, -0.05)).upper);
  EXPECT_EQ(rate_per_day(pest::StageRate{linear(10, 100), 0.0}, celsius(20)), 0.0);
  EXPECT_DOUBLE_EQ(rate_per_day(pest::StageRate{linear(10, 100), 0.25}, celsius(20)), 0.4);
  EXPECT_DOUBLE_EQ(days_at(pest::StageRate{linear(10, 100), 0.25}, celsius(20)).value(), 2.5);
}

// A Lactin or Logan model near the edge of what doubles hold: one side of the difference overflows before the other.
TEST(RateForms, OverflowNeverShows) {
  for (double t = -400.0; t < 4000.0; t += 7.0) {
    for (const auto& model : {pest::RateModel{lactin(0.2, 40, 1e-3, -1.1)}, pest::RateModel{logan(0.02, 0.13, 0, 36, 1e-4)},
                              pest::RateModel{logan10(0.1, 1e300, 0.9, 0, 36, 1e-3)},
                              pest::RateModel{schoolfield(0.4, 14931, std::nullopt, {{-472379, 148}})}}) {
      const double rate = rate_per_day(model, celsius(t));
      ASSERT_TRUE(std::isfinite(rate) && rate >= 0.0) << pest::word_for(model) << " at " << t;
    }
  }
}

TEST(RateTable, RunsThroughItsPointsWithoutOvershooting) {
  const auto model = table({{8, std::nullopt}, {12, 60}, {16, 31}, {20, 19}, {25, 13}, {30, 11.5}, {33, 14}});
  for (const auto& point : model.points) {
    if (point.days) {
      EXPECT_NEAR(rate_per_day(model, point.temperature), 1.0 / *point.days, 1e-15);
    }
  }
  double before = 0.0;
  for (double t = 8.0; t <= 30.0; t += 0.01) {
    const double rate = rate_per_day(model, celsius(t));
    ASSERT_GE(rate, before - 1e-15) << t;
    before = rate;
  }
  EXPECT_EQ(optimum(model)->at.celsius(), 30.0);
}

// SciPy's PchipInterpolator is Fritsch–Butland's means with a three-point end rule: the same curve, computed elsewhere.
TEST(RateTable, AgreesWithSciPy) {
  const auto model = table({{12, 60}, {16, 31}, {20, 19}, {25, 13}, {30, 11.5}, {33, 14}});
  const std::string source = "SciPy PchipInterpolator through 1/days (Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17:238-246)";
  const std::vector<std::pair<double, double>> rates{
      {12.5, 0.018358416094578538}, {14.3, 0.025092079673156228}, {17, 0.036992234415506316},
      {19.9, 0.052131613871278001}, {22.5, 0.06611306580215448},  {27, 0.082499819912528929},
      {29.5, 0.086803395935168517}, {30.4, 0.086565723487462623}, {32.7, 0.073775639034878146}};
  for (const auto& [t, rate] : rates)
    check_row({"rate.table." + std::to_string(static_cast<int>(t * 10)), "monotone cubic at " + std::to_string(t) + " C", source, "derived",
               From::independent, rate, 1e-12, "1/d"},
              rate_per_day(model, celsius(t)));
}

TEST(RateTable, EndsAsToldWhereNobodyLooked) {
  const auto rate = [](const pest::TableRate& model, double t) { return rate_per_day(model, celsius(t)); };
  // The line of the first two reaches 0 at 10 °C, above the point without development.
  const auto early = table({{5, std::nullopt}, {15, 20}, {20, 10}, {30, 5}, {35, std::nullopt}});
  EXPECT_EQ(limits(early).lower->celsius(), 10.0);
  EXPECT_NEAR(rate(early, 12.5), 0.025, 1e-15);
  EXPECT_EQ(limits(early).upper->celsius(), 35.0);
  EXPECT_NEAR(rate(early, 32.5), 0.1, 1e-15);
  // It would reach 0 at 10 °C, but nothing developed at 12 °C.
  const auto late = table({{12, std::nullopt}, {15, 20}, {20, 10}});
  EXPECT_EQ(limits(late).lower->celsius(), 12.0);
  EXPECT_NEAR(rate(late, 13.5), 0.025, 1e-15);
  // Still rising at the last: flat for 5 K, 0 from 10 K on.
  EXPECT_NEAR(rate(late, 24.9), 0.1, 1e-15);
  EXPECT_NEAR(rate(late, 27.5), 0.05, 1e-15);
  EXPECT_EQ(limits(late).upper->celsius(), 30.0);
  // Falling already: on along that line, at most 5 K.
  const auto falling = table({{20, 10}, {25, 8}, {30, 10}});
  EXPECT_EQ(limits(falling).upper->celsius(), 35.0);
  EXPECT_EQ(limits(table({{20, 10}, {25, 8}, {30, 16}})).upper->celsius(), 35.0);
  EXPECT_NEAR(limits(table({{20, 10}, {25, 8}, {30, 40}})).upper->celsius(), 31.25, 1e-12);
  // One point, or two that fall: 5 K on the cold side.
  EXPECT_EQ(limits(table({{20, 10}})).lower->celsius(), 15.0);
  EXPECT_EQ(limits(table({{20, 10}, {25, 12}})).lower->celsius(), 15.0);
}

}  // namespace
}  // namespace leafturn::phenology
