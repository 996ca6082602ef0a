#include "core/phenology/fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "core/base/random.hpp"
#include "core/phenology/fit_least_squares.hpp"
#include "core/phenology/rate.hpp"
#include "tests/phenology/rate_forms.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using leafturn::test::check_row;
using leafturn::test::From;
using namespace test;

std::vector<Rearing> rows_of(const std::vector<std::pair<double, std::optional<double>>>& days) {
  std::vector<Rearing> rows;
  for (const auto& [t, d] : days) rows.push_back({celsius(t), d, std::nullopt, std::nullopt});
  return rows;
}

/// Exact days of a model.
std::vector<Rearing> reared(const pest::RateModel& model, const std::vector<double>& temperatures) {
  std::vector<Rearing> rows;
  for (const double t : temperatures) rows.push_back({celsius(t), days_at(model, celsius(t)), std::nullopt, std::nullopt});
  return rows;
}

RateFit fit(const std::vector<Rearing>& rows, FitForm form, int resamples = 0) {
  return fit_rate({.rows = rows, .form = form, .resamples = resamples});
}

const Estimate& estimate(const RateFit& fit, const std::string& key) {
  for (const auto* list : {&fit.parameters, &fit.derived})
    for (const auto& e : *list)
      if (e.key == key) return e;
  ADD_FAILURE() << "no estimate of " << key;
  static const Estimate none;
  return none;
}

bool says(const RateFit& fit, const std::string& code) {
  for (const auto& reason : fit.reasons)
    if (reason.code == code) return true;
  return false;
}

TEST(Fit, LinearThresholdsWithTheirStandardErrors) {
  const auto rows = rows_of({{15, 1 / 0.0200}, {18, 1 / 0.0305}, {21, 1 / 0.0395}, {24, 1 / 0.0510}, {27, 1 / 0.0600}});
  const RateFit got = fit(rows, FitForm::linear);
  ASSERT_TRUE(got.model);
  const std::string source = "Campbell et al. 1974 (J. Appl. Ecol. 11:431-438), standard errors; regression computed independently";
  const auto row = [&](const char* id, const char* what, double expected, double tolerance, const char* unit, double value) {
    check_row({id, what, source, "derived", From::independent, expected, tolerance, unit}, value);
  };
  const Estimate& lower = estimate(got, "lower_c");
  const Estimate& constant = estimate(got, "constant_dd");
  row("fit.linear.t0", "T0 of rates .0200 .0305 .0395 .0510 .0600 at 15 18 21 24 27 C", 9.0, 1e-9, "C", lower.value);
  row("fit.linear.k", "K of the same", 298.50746269, 1e-7, "C d", constant.value);
  row("fit.linear.se.t0", "SE(T0) of the same", 0.26108740, 5e-8, "C", lower.standard_error.value());
  row("fit.linear.se.k", "SE(K) of the same", 6.12327263, 5e-7, "C d", constant.standard_error.value());
  row("fit.linear.s2", "residual variance of the same", 4.25e-7, 1e-13, "1/d2", got.residual_sd * got.residual_sd);
  // t of 3 degrees of freedom.
  EXPECT_NEAR(lower.interval95->high - lower.value, 3.182446305284263 * 0.26108740, 1e-6);
}

// Three durations and a constant of one study: the constant was fitted there to stages and temperatures that the abstract doesn't give.
TEST(Fit, ComesNearThePublishedConstant) {
  const RateFit got = fit(rows_of({{20, 75.8}, {25, 42.3}, {30, 33.2}}), FitForm::linear);
  const Estimate& constant = estimate(got, "constant_dd");
  check_row({"fit.haye", "thermal constant of Halyomorpha halys, egg to adult, from 75.8, 42.3 and 33.2 d at 20, 25 and 30 C",
             "Haye et al. 2014 (J. Pest Sci. 87:407-418), abstract: 588.24", "seen", From::published, 588.24, 6.0, "C d"},
            constant.value);
  EXPECT_GT(*constant.standard_error, 588.24 - constant.value) << "and says itself that it may miss by that";
}

TEST(Fit, StudentQuantilesAgreeWithSciPy) {
  const std::vector<std::pair<int, double>> expected{{1, 12.706204736432095},  {2, 4.302652729911275},   {3, 3.182446305284263},
                                                     {4, 2.7764451051977987},  {5, 2.5705818366147395},  {7, 2.3646242510102993},
                                                     {10, 2.2281388519649385}, {30, 2.0422724563012373}, {100, 1.9839715184496334}};
  for (const auto& [freedom, t] : expected)
    check_row({"student." + std::to_string(freedom), "two-sided 95 % of Student's t, " + std::to_string(freedom) + " degrees of freedom",
               "scipy.stats.t.ppf", "derived", From::independent, t, 1e-9 * t, ""},
              student_two_sided(freedom, 0.95));
}

struct Known {
  FitForm form;
  pest::RateModel model;
  std::vector<double> temperatures;
  std::vector<std::pair<std::string, double>> parameters;
  double tolerance = 1e-6;  // relative
};

const std::vector<double>& usual() {
  static const std::vector<double> temperatures{12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 31, 32, 33, 34};
  return temperatures;
}

TEST(Fit, ExactDaysGiveTheParametersBack) {
  const std::vector<Known> every{
      {FitForm::linear, linear(8.5, 320), usual(), {{"lower_c", 8.5}, {"constant_dd", 320}}},
      {FitForm::briere_1, briere(7.86e-5, 11.36, 39.17), usual(), {{"scale", 7.86e-5}, {"lower_c", 11.36}, {"upper_c", 39.17}}},
      {FitForm::briere_2, briere(1.1e-4, 8.0, 35.0, 3.5), usual(), {{"scale", 1.1e-4}, {"lower_c", 8}, {"upper_c", 35}, {"m", 3.5}}},
      {FitForm::lactin_2, lactin(0.0065, 39, 1.8, -1.06), usual(), {{"rho", 0.0065}, {"upper_c", 39}, {"delta", 1.8}, {"lambda", -1.06}}},
      {FitForm::logan_6, logan(0.02, 0.13, 0, 36, 5.5), usual(), {{"psi", 0.02}, {"rho", 0.13}, {"upper_c", 36}, {"delta", 5.5}}},
      {FitForm::logan_10,
       logan10(0.12, 90, 0.2, 0, 38, 1.6),
       usual(),
       {{"alpha", 0.12}, {"k", 90}, {"rho", 0.2}, {"upper_c", 38}, {"delta", 1.6}}},
      {FitForm::sharpe_schoolfield,
       schoolfield(0.10, 15000, {{-60000, 283}}, {{80000, 306}}),
       {7, 9, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 31, 32, 33, 34, 36},
       {{"rho25", 0.10},
        {"ha", 15000},
        {"low.enthalpy", -60000},
        {"low.half_kelvin", 283},
        {"high.enthalpy", 80000},
        {"high.half_kelvin", 306}},
       1e-4},
      {FitForm::sharpe_schoolfield_high,
       schoolfield(0.2088, 26018, std::nullopt, {{55990, 304.6}}),
       {12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 31, 32, 33, 34, 37},
       {{"rho25", 0.2088}, {"ha", 26018}, {"high.enthalpy", 55990}, {"high.half_kelvin", 304.6}},
       1e-5},
      {FitForm::kontodimas, kontodimas(6e-5, 9.5, 36), usual(), {{"scale", 6e-5}, {"lower_c", 9.5}, {"upper_c", 36}}},
      {FitForm::beta, beta(-10, 2.2, 0.7, 8, 37), usual(), {{"mu", -10}, {"alpha", 2.2}, {"beta", 0.7}, {"lower_c", 8}, {"upper_c", 37}}},
  };
  ASSERT_EQ(every.size(), static_cast<std::size_t>(fit_form_count));
  for (const Known& known : every) {
    SCOPED_TRACE(word_for(known.form));
    const RateFit got = fit(reared(known.model, known.temperatures), known.form);
    ASSERT_TRUE(got.model);
    for (const auto& [key, value] : known.parameters)
      EXPECT_NEAR(estimate(got, key).value, value, known.tolerance * std::abs(value)) << key;
    EXPECT_LT(got.residual_sd, 1e-7);
    for (const FittedRow& row : got.rows) {
      EXPECT_NEAR(row.rate, 1.0 / *row.row.days, 1e-6);
    }
  }
}

struct Against {
  FitForm form;
  std::vector<double> values, errors;  // in the order of the form's parameters
  double rss;
};

void check_against(const std::vector<Rearing>& rows, const Against& expected, const std::string& table) {
  SCOPED_TRACE(word_for(expected.form));
  const std::string source = "independent: scipy.optimize.curve_fit on the same rates";
  const RateFit got = fit(rows, expected.form);
  ASSERT_TRUE(got.model);
  ASSERT_EQ(got.parameters.size(), expected.values.size());
  for (std::size_t i = 0; i < expected.values.size(); ++i) {
    const Estimate& e = got.parameters[i];
    const std::string id = "fit." + std::string(word_for(expected.form)) + "." + e.key;
    check_row({id, std::string(word_for(expected.form)) + " on " + table + ": " + e.key, source, "derived", From::independent,
               expected.values[i], 2e-5 * std::abs(expected.values[i]), ""},
              e.value);
    check_row({id + ".se", "its standard error", source, "derived", From::independent, expected.errors[i], 1e-3 * expected.errors[i], ""},
              e.standard_error.value());
  }
  const double freedom = static_cast<double>(rows.size() - expected.values.size());
  EXPECT_NEAR(got.residual_sd * got.residual_sd * freedom, expected.rss, 1e-6 * expected.rss);
}

TEST(Fit, AgreesWithSciPy) {
  const auto ten =
      rows_of({{12, 71.4}, {15, 36.1}, {18, 23.9}, {21, 17.1}, {24, 13.4}, {27, 11.2}, {30, 10.0}, {32, 9.9}, {34, 10.9}, {36, 19.6}});
  const std::vector<Against> expected{
      {FitForm::briere_1, {6.07301482e-05, 9.037418, 36.8255195}, {2.8606e-06, 0.6663206, 0.1278184}, 8.402760605e-05},
      {FitForm::briere_2,
       {7.40545362e-05, 6.90439434, 36.3112988, 2.78086857},
       {6.937635e-07, 0.1956682, 0.02012687, 0.05196173},
       1.440613493e-06},
      {FitForm::lactin_2,
       {0.00470596784, 42.0532285, 2.3072765, -1.04509039},
       {6.488778e-05, 0.2195216, 0.08929201, 0.001407296},
       4.942791277e-06},
      {FitForm::sharpe_schoolfield,
       {0.102857472, 1813.61594, -36271.1399, 292.146245, 166754.899, 308.856221},
       {0.01250974, 2468.471, 2971.889, 2.037272, 13944.34, 0.1111149},
       5.598947033e-06},
      {FitForm::sharpe_schoolfield_high,
       {0.0773133018, 15508.936, 88664.0612, 307.07669},
       {0.004396638, 2125.957, 16766.95, 0.7147749},
       0.0002350913022},
      {FitForm::kontodimas, {2.15051085e-05, 8.54568869, 39.8507425}, {4.408303e-06, 1.186601, 0.8425932}, 0.0004721428544},
      {FitForm::beta,
       {-9.38519067, 1.97660642, 0.366881637, 4.49082062, 36.3265119},
       {0.4994358, 0.1248002, 0.01946747, 0.8292962, 0.04179353},
       1.523922183e-06},
  };
  for (const Against& one : expected) check_against(ten, one, "ten invented days, 12 to 36 C");

  const auto nine = rows_of({{10, 21.96}, {14, 12.22}, {18, 7.49}, {22, 4.48}, {26, 3.01}, {29, 2.27}, {31, 2.11}, {33, 2.09}, {35, 2.87}});
  check_against(nine,
                {FitForm::logan_6,
                 {0.012755493, 0.134463081, 36.9233181, 3.54241239},
                 {0.001700601, 0.009115758, 0.1160696, 0.3814718},
                 0.0001505261906},
                "nine invented days, 10 to 35 C");

  // SciPy fitted ln k; k's error follows from it.
  const double k = std::exp(4.26990186);
  check_against(ten,
                {FitForm::logan_10,
                 {0.117029563, k, 0.202868015, 37.0385822, 1.5810864},
                 {0.004263925, k * 0.1495386, 0.01053668, 0.1122252, 0.1794049},
                 8.338222347e-06},
                "ten invented days, 12 to 36 C");
}

TEST(Fit, OptimumAndLimitsComeWithIntervals) {
  const auto ten =
      rows_of({{12, 71.4}, {15, 36.1}, {18, 23.9}, {21, 17.1}, {24, 13.4}, {27, 11.2}, {30, 10.0}, {32, 9.9}, {34, 10.9}, {36, 19.6}});
  const RateFit got = fit(ten, FitForm::briere_2, 400);
  ASSERT_TRUE(got.model);
  for (const char* key : {"optimum_c", "highest_rate", "lower_limit_c", "upper_limit_c"}) {
    const Estimate& e = estimate(got, key);
    ASSERT_TRUE(e.interval95 && e.resampled95) << key;
    EXPECT_LT(e.interval95->low, e.value) << key;
    EXPECT_GT(e.interval95->high, e.value) << key;
    EXPECT_LT(e.resampled95->low, e.value) << key;
    EXPECT_GT(e.resampled95->high, e.value) << key;
    // Two ways to the same width, within what t against normal quantiles and 400 samples explain.
    const double ratio = (e.resampled95->high - e.resampled95->low) / (e.interval95->high - e.interval95->low);
    EXPECT_GT(ratio, 0.5) << key;
    EXPECT_LT(ratio, 1.3) << key;
  }
  EXPECT_EQ(estimate(got, "lower_limit_c").value, estimate(got, "lower_c").value);
  EXPECT_NEAR(estimate(got, "lower_limit_c").standard_error.value(), estimate(got, "lower_c").standard_error.value(), 1e-6);
  EXPECT_EQ(got.resamples_failed, 0);
  // The same seed gives the same bytes, another seed others.
  const RateFit again = fit(ten, FitForm::briere_2, 400);
  EXPECT_EQ(estimate(again, "optimum_c").resampled95->low, estimate(got, "optimum_c").resampled95->low);
  const RateFit other = fit_rate({.rows = ten, .form = FitForm::briere_2, .seed = 2, .resamples = 400});
  EXPECT_NE(estimate(other, "optimum_c").resampled95->low, estimate(got, "optimum_c").resampled95->low);
}

TEST(Fit, RefusesWhatTheTableCannotTell) {
  const auto rising = rows_of({{12, 60}, {16, 31}, {20, 19}, {24, 13.5}, {28, 10.8}});
  for (const FitForm form : {FitForm::briere_1, FitForm::lactin_2, FitForm::kontodimas}) {
    const RateFit got = fit(rising, form);
    EXPECT_FALSE(got.model);
    EXPECT_TRUE(says(got, "fit.upper_not_identified")) << word_for(form);
    EXPECT_TRUE(got.parameters.empty());
  }
  EXPECT_TRUE(fit(rising, FitForm::linear).model);
  // A temperature at which nothing developed bounds the upper limit, with a warning.
  auto bounded = rising;
  bounded.push_back({celsius(36), std::nullopt, std::nullopt, std::nullopt});
  const RateFit got = fit(bounded, FitForm::briere_1);
  ASSERT_TRUE(got.model);
  EXPECT_TRUE(says(got, "fit.upper_from_absence"));
  EXPECT_LE(estimate(got, "upper_c").value, 36.5);
  EXPECT_EQ(got.developed, 5);

  EXPECT_TRUE(says(fit(rows_of({{15, 30}, {20, 15}, {30, 12}, {34, 14}}), FitForm::beta), "fit.too_few"));
  EXPECT_TRUE(says(fit(rows_of({{20, 15}, {20, 16}}), FitForm::linear), "fit.too_few")) << "one temperature twice";
  EXPECT_TRUE(says(fit(rows_of({{20, 15}}), FitForm::linear), "fit.too_few"));
  EXPECT_TRUE(says(fit(rows_of({{20, std::nullopt}}), FitForm::linear), "fit.too_few"));
  EXPECT_TRUE(says(fit({}, FitForm::linear), "fit.too_few"));
  EXPECT_TRUE(says(fit_rate({.rows = rising, .form = FitForm::linear, .weights = FitWeights::n}), "fit.needs_weights"));
}

TEST(Fit, WarnsOfWhatIsNotIdentified) {
  // As many rows as parameters: a curve through every point and no word on its errors.
  const RateFit exact = fit(rows_of({{15, 40}, {25, 14}, {33, 12}, {35, 20}}), FitForm::lactin_2);
  ASSERT_TRUE(exact.model);
  EXPECT_TRUE(says(exact, "fit.no_scatter"));
  for (const Estimate& e : exact.parameters) {
    EXPECT_FALSE(e.standard_error);
    EXPECT_FALSE(e.interval95);
  }
  EXPECT_FALSE(exact.aicc);

  // Logan-6 on these days slides into ρΔ = 1, where ψ and Δ mean nothing (SciPy's error of ψ is 2.5e5).
  const auto ten =
      rows_of({{12, 71.4}, {15, 36.1}, {18, 23.9}, {21, 17.1}, {24, 13.4}, {27, 11.2}, {30, 10.0}, {32, 9.9}, {34, 10.9}, {36, 19.6}});
  EXPECT_TRUE(says(fit(ten, FitForm::logan_6), "fit.not_identified"));
  EXPECT_FALSE(says(fit(ten, FitForm::briere_1), "fit.not_identified"));
  // One row more than parameters: Student's t of one degree of freedom is 12.7.
  EXPECT_TRUE(says(fit(rows_of({{15, 40}, {25, 14}, {33, 12}, {35, 20}}), FitForm::briere_1), "fit.not_identified"));

  // Linear: rows past the fastest are left out and told, and AICc isn't comparable then.
  const RateFit line = fit(ten, FitForm::linear);
  EXPECT_TRUE(says(line, "fit.left_out"));
  EXPECT_EQ(line.developed, 8);
  EXPECT_FALSE(line.rows.back().used);
  EXPECT_FALSE(line.aicc);
  // A threshold far colder than anything that was reared.
  EXPECT_TRUE(says(fit(rows_of({{20, 30}, {23, 26}, {26, 23}, {29, 20}}), FitForm::linear), "fit.lower_far"));
  EXPECT_TRUE(says(fit(rows_of({{20, 30}, {23, 31}, {26, 29.9}, {19, 25}}), FitForm::linear), "fit.too_few"));
}

TEST(Fit, WeightsPullTowardsTheRowsWithMore) {
  auto rows = rows_of({{15, 50}, {18, 33}, {21, 25}, {24, 20}, {27, 15.5}});
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i].n = i == 4 ? 400.0 : 10.0;
    rows[i].sd = 1.5;
  }
  const RateFit alike = fit(rows, FitForm::linear);
  const RateFit by_n = fit_rate({.rows = rows, .form = FitForm::linear, .weights = FitWeights::n});
  const RateFit by_sd = fit_rate({.rows = rows, .form = FitForm::linear, .weights = FitWeights::sd});
  const auto miss = [](const RateFit& f) { return std::abs(f.rows[4].rate - 1.0 / 15.5); };
  EXPECT_LT(miss(by_n), miss(alike));
  EXPECT_NE(estimate(by_sd, "lower_c").value, estimate(by_n, "lower_c").value);
  for (Rearing& row : rows) row.n = 25.0;
  EXPECT_NEAR(estimate(fit_rate({.rows = rows, .form = FitForm::linear, .weights = FitWeights::n}), "lower_c").value,
              estimate(alike, "lower_c").value, 1e-12)
      << "equal weights are no weights";
}

// How often the 95 % intervals hold the truth: 400 invented tables of ten temperatures from a known Brière-1 curve with normal scatter of 2
// % of its highest rate. Standard error of a share near .95: .011.
TEST(Fit, IntervalsHoldTheTruthAsOftenAsTheySay) {
  const pest::RateModel truth = briere(6e-5, 9.0, 37.0);
  const std::vector<double> temperatures{13, 16, 19, 22, 25, 28, 30, 32, 34, 36};
  const double scatter = 0.02 * 0.105;
  const std::vector<std::pair<std::string, double>> parameters{{"scale", 6e-5}, {"lower_c", 9.0}, {"upper_c", 37.0}, {"optimum_c", 0.0}};
  std::vector<int> delta(parameters.size(), 0);
  std::vector<int> resampled(parameters.size(), 0);
  constexpr int tables = 400;
  const double best = [&] {
    double at = 25.0;
    for (double t = 25.0; t < 37.0; t += 1e-4)
      if (rate_per_day(truth, celsius(t)) > rate_per_day(truth, celsius(at))) at = t;
    return at;
  }();
  for (int i = 0; i < tables; ++i) {
    num::Draws random({.seed = 20260, .member = static_cast<std::uint32_t>(i), .use = num::Use::test});
    std::vector<Rearing> rows;
    for (const double t : temperatures) {
      const double rate = rate_per_day(truth, celsius(t)) + scatter * random.normal();
      if (rate > 1e-3) rows.push_back({celsius(t), 1.0 / rate, std::nullopt, std::nullopt});
    }
    const RateFit got = fit_rate({.rows = rows, .form = FitForm::briere_1, .seed = static_cast<std::uint64_t>(i), .resamples = 200});
    ASSERT_TRUE(got.model);
    for (std::size_t p = 0; p < parameters.size(); ++p) {
      const Estimate& e = estimate(got, parameters[p].first);
      const double value = parameters[p].first == "optimum_c" ? best : parameters[p].second;
      delta[p] += e.interval95 && e.interval95->low <= value && value <= e.interval95->high ? 1 : 0;
      resampled[p] += e.resampled95 && e.resampled95->low <= value && value <= e.resampled95->high ? 1 : 0;
    }
  }
  for (std::size_t p = 0; p < parameters.size(); ++p) {
    const auto share = [&](int hits) { return static_cast<double>(hits) / tables; };
    check_row({"fit.coverage.delta." + parameters[p].first,
               "share of 400 invented tables whose 95 % interval (Student) holds the true " + parameters[p].first,
               "the curve the tables were drawn from", "derived", From::independent, 0.95, 0.035, ""},
              share(delta[p]));
    check_row({"fit.coverage.bootstrap." + parameters[p].first, "the same by bootstrap", "the curve the tables were drawn from", "derived",
               From::independent, 0.95, 0.035, ""},
              share(resampled[p]));
  }
}

}  // namespace
}  // namespace leafturn::phenology
