// Where the exact answer is known: the Kalman filter against worked numbers, and particle filters made of core's pieces against it.

#include "tests/population/kalman.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "core/base/random.hpp"
#include "core/base/special.hpp"
#include "core/population/assimilate.hpp"
#include "core/population/counts.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::population {
namespace {

using test::check_row;
using test::From;
using test::kalman;

void row(const std::string& id, const std::string& what, double expected, double tolerance, double got) {
  check_row({"kalman." + id, what, "Kalman recursion, confirmed by the joint multivariate normal", "derived", From::independent, expected,
             tolerance, ""},
            got);
}

TEST(Kalman, TheLocalLevel) {
  const auto steps = kalman(test::local_level(), test::local_level_observed());
  const std::vector<std::array<double, 7>> expected{
      {5.0000000000, 2.5000000000, 3.5000000000, 0.7142857143, 4.9285714286, 0.7142857143, -1.5467485889},
      {4.9285714286, 1.2142857143, 2.2142857143, 0.5483870968, 5.2967741935, 0.5483870968, -2.9649492945},
      {5.2967741935, 1.0483870968, 2.0483870968, 0.5118110236, 4.7354330709, 0.5118110236, -4.5360387657},
      {4.7354330709, 1.0118110236, 2.0118110236, 0.5029354207, 5.4217221135, 0.5029354207, -6.2672727468},
      {5.4217221135, 1.0029354207, 2.0029354207, 0.5007327797, 6.3622374206, 0.5007327797, -8.4142075453},
      {6.3622374206, 1.0007327797, 2.0007327797, 0.5001831278, 6.5811988768, 0.5001831278, -9.7277943022}};
  const std::vector<double> smooth{5.1612135270, 5.3240629960, 5.3489439629, 5.9482969112, 6.4717983152, 6.5811988768};
  const std::vector<double> smooth_variance{0.4169210109, 0.3549017214, 0.3412281773, 0.3451349042, 0.3754120376, 0.5001831278};
  const std::array<const char*, 7> names{"predicted", "predicted_variance", "innovation", "gain", "mean", "variance", "loglik"};
  ASSERT_EQ(steps.size(), expected.size());
  for (std::size_t t = 0; t < steps.size(); ++t) {
    const auto& s = steps[t];
    const std::array<double, 7> got{s.predicted_mean, s.predicted_variance, s.innovation_variance, s.gain,
                                    s.mean,           s.variance,           s.log_likelihood};
    const std::string at = std::to_string(t + 1);
    for (std::size_t i = 0; i < 7; ++i) row("level." + at + "." + names[i], names[i] + (" after " + at), expected[t][i], 1e-9, got[i]);
    row("smooth." + at + ".mean", "smoother's mean of " + at, smooth[t], 1e-9, s.smooth_mean);
    row("smooth." + at + ".variance", "smoother's variance of " + at, smooth_variance[t], 1e-9, s.smooth_variance);
  }
  row("steady.variance", "steady predicted variance", 1.0, 1e-12, steady_variance(test::local_level()));
  const auto gap = kalman(test::local_level(), {4.9, std::nullopt, 4.2});
  row("gap.mean", "second observation missing: mean of the third", 4.4684210526, 1e-9, gap.back().mean);
  row("gap.variance", "second observation missing: variance of the third", 0.6315789474, 1e-9, gap.back().variance);
}

TEST(Kalman, AnAutoregression) {
  const auto steps = kalman({0.9, 0.3, 0.5, 0.0, 1.0}, {0.5, -0.2, 1.1, 0.9});
  row("ar.mean", "AR(1) .9, final mean", 0.710100034252, 1e-11, steps.back().mean);
  row("ar.variance", "AR(1) .9, final variance", 0.251480286332, 1e-11, steps.back().variance);
  row("ar.loglik", "AR(1) .9, log-likelihood", -4.794167322287, 1e-11, steps.back().log_likelihood);
  // The steady variance is where the recursion stays.
  const test::LinearModel model{0.9, 0.3, 0.5, 0.0, 1.0};
  const auto long_run = kalman(model, std::vector<std::optional<double>>(200, 0.0));
  EXPECT_NEAR(long_run.back().predicted_variance, steady_variance(model), 1e-12);
}

TEST(Kalman, TheNileInItsSteadyState) {
  const test::LinearModel nile{1.0, 1469.1, 15099.0, 0.0, 1e7};
  const double predicted = steady_variance(nile);
  const auto nile_row = [&](const char* id, double expected, double tolerance, double got) {
    check_row({std::string{"kalman.nile."} + id, "local level of the Nile's flow, steady state",
               "Durbin & Koopman 2012 (variances 15099 and 1469.1), closed form", "seen", From::independent, expected, tolerance, ""},
              got);
  };
  nile_row("predicted", 5501.25794181, 1e-6, predicted);
  nile_row("innovation", 20600.25794181, 1e-6, predicted + 15099.0);
  nile_row("gain", 0.2670480126, 1e-9, predicted / (predicted + 15099.0));
  nile_row("variance", 4032.157942, 1e-5, predicted - 1469.1);
  const auto run = kalman(nile, std::vector<std::optional<double>>(100, 1000.0));
  nile_row("recursion", 5501.25794181, 1e-6, run.back().predicted_variance);
}

TEST(Kalman, ByAnEnsemble) {
  const std::string source = "Burgers et al. 1998 and Whitaker & Hamill 2002, by hand";
  const std::vector<double> members{3, 5, 6, 8};
  const std::vector<double> perturbed{6.34285714, 6.11428571, 6.89142857, 7.10857143};
  const std::vector<double> square_root{5.34655433, 6.36073944, 6.86783199, 7.8820171};
  const auto first = test::ensemble_step(members, 1.5, 7.0, {.5, -.5, .2, -.2});
  const auto second = test::ensemble_step(members, 1.5, 7.0, {});
  for (std::size_t i = 0; i < 4; ++i) {
    check_row({"enkf.perturbed." + std::to_string(i), "member after y = 7, R 1.5, perturbed observations", source, "derived",
               From::independent, perturbed[i], 1e-8, ""},
              first[i]);
    check_row({"enkf.root." + std::to_string(i), "member after y = 7, R 1.5, square root", source, "derived", From::independent,
               square_root[i], 1e-8, ""},
              second[i]);
  }
  check_row({"enkf.root.mean", "mean after y = 7, square root", source, "derived", From::independent, 6.6142857143, 1e-9, ""},
            moments(second, {}).mean);
  // A large ensemble meets the exact filter.
  const auto exact = kalman(test::local_level(), test::local_level_observed());
  const auto observed = test::local_level_observed();
  num::Draws draws({.seed = 41});
  std::vector<double> x(100'000), noise(x.size());
  for (double& v : x) v = 5.0 + std::sqrt(2.0) * draws.normal();
  for (std::size_t t = 0; t < observed.size(); ++t) {
    for (double& v : x) v += std::sqrt(0.5) * draws.normal();
    for (double& v : noise) v = draws.normal();
    x = test::ensemble_step(x, 1.0, *observed[t], t % 2 == 0 ? noise : std::vector<double>{});
    EXPECT_NEAR(moments(x, {}).mean, exact[t].mean, 0.015);  // four standard errors of 100,000 draws and what earlier ones left
    EXPECT_NEAR(moments(x, {}).variance, exact[t].variance, 0.015);
  }
}

const std::array<double, 4> grid{0.1, 0.5, 1.0, 2.0};

TEST(Kalman, PosteriorOfTheProcessVariance) {
  const std::array<double, 4> logliks{-9.9169710457, -9.7277943022, -9.9819380819, -10.5661944784};
  const std::array<double, 4> shares{0.2726426909, 0.3294217539, 0.2554930166, 0.1424425386};
  std::vector<double> logs;
  std::vector<double> last;
  for (std::size_t i = 0; i < grid.size(); ++i) {
    const auto end = kalman(test::local_level(grid[i]), test::local_level_observed()).back();
    logs.push_back(end.log_likelihood);
    last.push_back(end.mean);
    row("q." + std::to_string(i) + ".loglik", "log-likelihood at Q " + std::to_string(grid[i]), logliks[i], 1e-9, logs.back());
  }
  std::vector<double> weights(4);
  ASSERT_TRUE(normalise(logs, weights).has_value());
  for (std::size_t i = 0; i < grid.size(); ++i)
    row("q." + std::to_string(i) + ".share", "posterior of Q " + std::to_string(grid[i]), shares[i], 1e-9, weights[i]);
  row("q.mean", "posterior mean of Q", 0.7323532399, 1e-9, moments(std::span<const double>{grid}, weights).mean);
  row("q.level", "x_6 over the posterior of Q", 6.5265819132, 1e-9, moments(std::span<const double>{last}, weights).mean);
}

struct Estimate {
  std::array<double, 6> mean{}, variance{};
  double log_likelihood = 0.0;
  double fewest = 0.0;  ///< effective size
};

// Gordon, Salmond & Smith 1993 of normalise, resample and Draws: propagate, weigh, resample.
Estimate particle_filter(const test::LinearModel& model, std::size_t n, std::uint64_t seed) {
  const auto observed = test::local_level_observed();
  std::vector<double> x(n), moved(n), log_w(n), w(n);
  std::vector<std::uint32_t> picked(n);
  num::Draws start({.seed = seed, .day = 0});
  for (double& v : x) v = model.first_mean + std::sqrt(model.first_variance) * start.normal();
  Estimate estimate;
  estimate.fewest = static_cast<double>(n);
  for (std::size_t t = 0; t < observed.size(); ++t) {
    num::Draws draws({.seed = seed, .day = static_cast<std::int32_t>(t + 1)});
    for (std::size_t i = 0; i < n; ++i) {
      x[i] = model.a * x[i] + std::sqrt(model.process) * draws.normal();
      const double off = *observed[t] - x[i];
      log_w[i] = -0.5 * (std::log(2.0 * 3.14159265358979323846 * model.observation) + off * off / model.observation);
    }
    estimate.log_likelihood += normalise(log_w, w).value() - std::log(static_cast<double>(n));
    const Moments now = moments(std::span<const double>{x}, w);
    estimate.mean[t] = now.mean;
    estimate.variance[t] = now.variance;
    estimate.fewest = std::min(estimate.fewest, effective_size(w));
    EXPECT_TRUE(resample(w, draws.uniform(), picked));
    for (std::size_t i = 0; i < n; ++i) moved[i] = x[picked[i]];
    x.swap(moved);
  }
  return estimate;
}

TEST(ParticleFilter, MeetsTheExactFilterWithinItsMonteCarloError) {
  const auto exact = kalman(test::local_level(), test::local_level_observed());
  const int runs = 40;
  const std::size_t n = 10'000;
  std::array<double, 6> mean{}, variance{}, mean_square{}, variance_square{};
  double likelihood = 0.0, likelihood_square = 0.0;
  for (int run = 0; run < runs; ++run) {
    const Estimate got = particle_filter(test::local_level(), n, static_cast<std::uint64_t>(run) + 100);
    for (std::size_t t = 0; t < 6; ++t) {
      const double mean_off = got.mean[t] - exact[t].mean;
      const double variance_off = got.variance[t] - exact[t].variance;
      mean[t] += mean_off / runs;
      mean_square[t] += mean_off * mean_off / runs;
      variance[t] += variance_off / runs;
      variance_square[t] += variance_off * variance_off / runs;
    }
    // The likelihood, not its logarithm, is estimated without bias (Andrieu, Doucet & Holenstein 2010).
    const double ratio = std::exp(got.log_likelihood - exact.back().log_likelihood) - 1.0;
    likelihood += ratio / runs;
    likelihood_square += ratio * ratio / runs;
    EXPECT_GT(got.fewest, 0.2 * static_cast<double>(n));
  }
  for (std::size_t t = 0; t < 6; ++t) {
    const double mean_error = std::sqrt(mean_square[t] / runs);
    const double variance_error = std::sqrt(variance_square[t] / runs);
    EXPECT_LT(mean_error, 0.004);  // the error is small enough to mean something
    EXPECT_LT(variance_error, 0.004);
    EXPECT_LT(std::abs(mean[t]), 4.0 * mean_error) << t;
    EXPECT_LT(std::abs(variance[t]), 4.0 * variance_error) << t;
  }
  EXPECT_LT(std::sqrt(likelihood_square / runs), 0.01);
  EXPECT_LT(std::abs(likelihood), 4.0 * std::sqrt(likelihood_square / runs));

  // The reference's own tolerance for one run of 200,000.
  const Estimate one = particle_filter(test::local_level(), 200'000, 7);
  row("particles.loglik", "bootstrap filter of 200,000: log-likelihood", -9.7277943022, 0.02, one.log_likelihood);
  row("particles.mean", "bootstrap filter of 200,000: mean of x_6", 6.5811988768, 0.01, one.mean[5]);
  row("particles.variance", "bootstrap filter of 200,000: variance of x_6", 0.5001831278, 0.01, one.variance[5]);
}

TEST(ParticleFilter, ItsLikelihoodsGiveThePosteriorOfTheProcessVariance) {
  const std::array<double, 4> shares{0.2726426909, 0.3294217539, 0.2554930166, 0.1424425386};
  const int runs = 10;
  std::array<double, 4> mean{}, square{};
  for (int run = 0; run < runs; ++run) {
    std::vector<double> logs;
    for (std::size_t i = 0; i < grid.size(); ++i)
      logs.push_back(particle_filter(test::local_level(grid[i]), 20'000, 1000 + static_cast<std::uint64_t>(run) * 10 + i).log_likelihood);
    std::vector<double> weights(4);
    ASSERT_TRUE(normalise(logs, weights).has_value());
    for (std::size_t i = 0; i < 4; ++i) {
      mean[i] += weights[i] / runs;
      square[i] += (weights[i] - shares[i]) * (weights[i] - shares[i]) / runs;
    }
  }
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_LT(std::sqrt(square[i] / runs), 0.002);
    row("particles.q." + std::to_string(i), "posterior of Q by particle likelihoods, 10 runs of 20,000", shares[i],
        4.0 * std::sqrt(square[i] / runs), mean[i]);
  }
}

// A fixed number seen with noise: its posterior is known, and a cloud that Liu & West's step refreshes must not drift from it.
TEST(ParticleFilter, ARefreshedCloudKeepsThePosteriorOfAFixedNumber) {
  const std::vector<double> observed{0.3, 1.9, 0.7, 1.2, -0.4, 2.2, 1.1, 0.9, 1.6, 0.5};
  double exact_mean = 0.0;
  double exact_variance = 4.0;
  for (const double y : observed) {
    const double gain = exact_variance / (exact_variance + 1.0);
    exact_mean += gain * (y - exact_mean);
    exact_variance *= 1.0 - gain;
  }
  const std::size_t n = 4'000;
  const int runs = 60;
  double mean = 0.0, mean_square = 0.0, variance = 0.0, variance_square = 0.0;
  for (int run = 0; run < runs; ++run) {
    std::vector<double> cloud(n), moved(n), log_w(n), w(n), z(n);
    std::vector<std::uint32_t> picked(n);
    num::Draws draws({.seed = 500, .member = static_cast<std::uint32_t>(run)});
    for (double& v : cloud) v = 2.0 * draws.normal();
    for (const double y : observed) {
      for (std::size_t i = 0; i < n; ++i) log_w[i] = -0.5 * (y - cloud[i]) * (y - cloud[i]);
      ASSERT_TRUE(normalise(log_w, w).has_value());
      ASSERT_TRUE(resample(w, draws.uniform(), picked));
      for (std::size_t i = 0; i < n; ++i) moved[i] = cloud[picked[i]];
      cloud.swap(moved);
      for (double& v : z) v = draws.normal();
      shrink_and_jitter(cloud, {}, liu_west(0.95), z);
    }
    const Moments end = moments(std::span<const double>{cloud}, {});
    mean += (end.mean - exact_mean) / runs;
    mean_square += (end.mean - exact_mean) * (end.mean - exact_mean) / runs;
    variance += (end.variance - exact_variance) / runs;
    variance_square += (end.variance - exact_variance) * (end.variance - exact_variance) / runs;
  }
  EXPECT_LT(std::sqrt(mean_square / runs), 0.003);
  EXPECT_LT(std::sqrt(variance_square / runs), 0.003);
  EXPECT_LT(std::abs(mean), 4.0 * std::sqrt(mean_square / runs));
  EXPECT_LT(std::abs(variance), 4.0 * std::sqrt(variance_square / runs));
}

TEST(Conjugate, GammaAndPoisson) {
  // Gamma(2, rate 1) before, counts 3, 0, 2, 5: Gamma(12, rate 5); the next count is negative binomial with mean 12/5 and k 12.
  const std::string source = "gamma prior of a Poisson mean, closed form";
  const auto gamma = [&](const char* id, const char* what, double expected, double tolerance, double got) {
    check_row({std::string{"conjugate.gamma."} + id, what, source, "derived", From::independent, expected, tolerance, ""}, got);
  };
  gamma("next", "P(next count is 0)", 0.112156654785, 1e-11, probability({2.4, 12.0}, 0));
  gamma("tail", "P(mean > 3)", 0.184751799024, 1e-10, 1.0 - num::gamma_cdf(12.0, 15.0));
  // The same by weighing draws of the prior.
  const std::size_t n = 200'000;
  std::vector<double> means(n), log_w(n), w(n);
  num::Draws draws({.seed = 31});
  for (std::size_t i = 0; i < n; ++i) {
    means[i] = draws.gamma(2.0);
    for (const std::int64_t count : {3, 0, 2, 5}) log_w[i] += log_probability({means[i], std::numeric_limits<double>::infinity()}, count);
  }
  ASSERT_TRUE(normalise(log_w, w).has_value());
  const double error = std::sqrt(12.0 / 25.0 / effective_size(w));
  gamma("mean", "posterior mean by 200,000 weighed draws", 2.4, 4.0 * error, moments(std::span<const double>{means}, w).mean);
  EXPECT_LT(error, 0.01);
}

TEST(Conjugate, BetaAndBinomial) {
  // Beta(1, 1) before, 3 of 20: Beta(4, 18). I_x(a, b) is the chance of at most b − 1 failures before the a-th success.
  const std::string source = "beta prior of a share, closed form";
  const double mean = 4.0 * 0.75 / 0.25;
  check_row({"conjugate.beta.tail", "P(share > .25) after 3 of 20", source, "derived", From::independent, 0.191682143864, 1e-11, ""},
            1.0 - probability_up_to({mean, 4.0}, 17));
  std::vector<double> share(2000), log_w(2000), w(2000);
  for (std::size_t i = 0; i < share.size(); ++i) {
    share[i] = (static_cast<double>(i) + 0.5) / 2000.0;
    log_w[i] = 3.0 * std::log(share[i]) + 17.0 * std::log1p(-share[i]);
  }
  ASSERT_TRUE(normalise(log_w, w).has_value());
  check_row(
      {"conjugate.beta.mean", "posterior mean after 3 of 20, on a grid", source, "derived", From::independent, 0.1818181818, 1e-6, ""},
      moments(std::span<const double>{share}, w).mean);
}

}  // namespace
}  // namespace leafturn::population
