// What is done to clouds of members between two marches, against exact answers: the multivariate normal, integrals, moments.

#include "core/population/cloud.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "core/base/random.hpp"
#include "core/population/counts.hpp"
#include "core/population/gathered.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::population {
namespace {

constexpr std::size_t four = 4;
using Matrix = std::array<std::array<double, four>, four>;

Matrix inverse(Matrix a) {
  Matrix out{};
  for (std::size_t i = 0; i < four; ++i) out[i][i] = 1.0;
  for (std::size_t c = 0; c < four; ++c) {
    const double pivot = a[c][c];
    for (std::size_t j = 0; j < four; ++j) {
      a[c][j] /= pivot;
      out[c][j] /= pivot;
    }
    for (std::size_t r = 0; r < four; ++r) {
      if (r == c) continue;
      const double by = a[r][c];
      for (std::size_t j = 0; j < four; ++j) {
        a[r][j] -= by * a[c][j];
        out[r][j] -= by * out[c][j];
      }
    }
  }
  return out;
}

struct Normal {
  std::array<double, four> mean{};
  Matrix covariance{};
  // Independent observations y of each number with precision λ, by Bayes' rule: Σ' = (Σ⁻¹ + Λ)⁻¹, μ' = Σ'(Σ⁻¹μ + Λy).
  void observe(const std::array<double, four>& y, const std::array<double, four>& precision) {
    Matrix information = inverse(covariance);
    std::array<double, four> vector{};
    for (std::size_t i = 0; i < four; ++i) {
      for (std::size_t j = 0; j < four; ++j) vector[i] += information[i][j] * mean[j];
      vector[i] += precision[i] * y[i];
    }
    for (std::size_t i = 0; i < four; ++i) information[i][i] += precision[i];
    covariance = inverse(information);
    for (std::size_t i = 0; i < four; ++i) {
      mean[i] = 0.0;
      for (std::size_t j = 0; j < four; ++j) mean[i] += covariance[i][j] * vector[j];
    }
  }
};

TEST(BedsAlike, BedsThatSpeakAtOnceAgreeAsAMultivariateNormalDoes) {
  BedsAlike alike(four, 0.7);
  Normal exact;
  for (std::size_t i = 0; i < four; ++i)
    for (std::size_t j = 0; j < four; ++j) exact.covariance[i][j] = i == j ? 1.0 : 0.7;
  std::array<double, four> mean{};
  std::array<double, four> variance{1.0, 1.0, 1.0, 1.0};
  const std::array<std::array<double, four>, 3> seen{{{1.2, -0.4, 0.0, 0.9}, {0.3, 0.3, 0.0, -1.0}, {0.0, 2.0, 0.0, 0.0}}};
  const std::array<std::array<double, four>, 3> precision{{{2.0, 0.5, 0.0, 8.0}, {1.0, 1.0, 0.0, 0.1}, {0.0, 4.0, 0.0, 0.0}}};
  for (std::size_t visit = 0; visit < seen.size(); ++visit) {
    exact.observe(seen[visit], precision[visit]);
    std::vector<BedsAlike::Word> words;
    for (const std::size_t bed : {std::size_t{3}, std::size_t{0}, std::size_t{1}}) {
      if (!(precision[visit][bed] > 0.0)) continue;
      // The bed's own cloud reweighed by its own count alone.
      const double after = 1.0 / (1.0 / variance[bed] + precision[visit][bed]);
      const double shift = after * precision[visit][bed] * (seen[visit][bed] - mean[bed]);
      words.push_back({bed, shift, variance[bed], after});
    }
    const auto moves = alike.together(words);
    for (const BedsAlike::Word& word : words) {
      mean[word.bed] += word.shift;
      variance[word.bed] = word.after;
    }
    for (std::size_t b = 0; b < four; ++b) {
      mean[b] += moves[b].shift;
      variance[b] *= moves[b].narrow * moves[b].narrow;
      EXPECT_NEAR(mean[b], exact.mean[b], 1e-12) << visit << " " << b;
      EXPECT_NEAR(variance[b], exact.covariance[b][b], 1e-12) << visit << " " << b;
      for (std::size_t a = 0; a < four; ++a) EXPECT_NEAR(alike.covariance(a, b), exact.covariance[a][b], 1e-12);
    }
  }
}

TEST(Gathered, WeightsThatKnowNothingTeachLittleHoweverOften) {
  constexpr std::size_t n = 512;
  constexpr int clouds = 60;
  constexpr int visits = 14;
  double by_weights = 0.0;
  double believed = 0.0;
  double variance = 0.0;
  for (int cloud = 0; cloud < clouds; ++cloud) {
    num::Draws draws({.seed = 9, .member = static_cast<std::uint32_t>(cloud)});
    Gathered gathered;
    double plain = 0.0;
    double mean = 0.0;
    double width = 1.0;
    for (int visit = 0; visit < visits; ++visit) {
      std::vector<double> z(n);
      std::vector<double> before(n, 1.0 / n);
      std::vector<double> after(n);
      double sum = 0.0;
      for (std::size_t i = 0; i < n; ++i) {
        z[i] = mean + std::sqrt(width) * draws.normal();
        sum += after[i] = std::exp(1.5 * draws.normal());
      }
      for (double& w : after) w /= sum;
      const Reweighing said = reweighing(z, before, after);
      plain += said.after.mean - said.before.mean;
      const Gathered::Heard heard = gathered.hear(said);
      mean += heard.shift;
      width = heard.variance;
    }
    by_weights += plain * plain / clouds;
    believed += mean * mean / clouds;
    variance += width / clouds;
  }
  EXPECT_LT(believed, 0.55 * by_weights);  // a third, of a normal sum
  EXPECT_GT(variance, 0.9);
}

TEST(Gathered, WhatCountsSayAgainAndAgainIsBelieved) {
  constexpr std::size_t n = 1024;
  num::Draws draws({.seed = 4});
  Gathered gathered;
  Normal exact;  // of the first number only
  for (std::size_t i = 0; i < four; ++i) exact.covariance[i][i] = 1.0;
  double mean = 0.0;
  double width = 1.0;
  for (int visit = 0; visit < 10; ++visit) {
    std::vector<double> z(n);
    std::vector<double> after(n);
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      z[i] = mean + std::sqrt(width) * draws.normal();
      sum += after[i] = std::exp(-0.25 * (z[i] - 1.5) * (z[i] - 1.5));
    }
    for (double& w : after) w /= sum;
    exact.observe({1.5}, {0.5});
    const Gathered::Heard heard = gathered.hear(reweighing(z, std::vector<double>(n, 1.0 / n), after));
    mean += heard.shift;
    width = heard.variance;
  }
  EXPECT_NEAR(mean, exact.mean[0], 0.1);
  EXPECT_NEAR(width, exact.covariance[0][0], 0.05);
}

const Life& worm() {
  static const pest::Library read = *io::built_in_library();
  static const Life life = life_of(*read.pest("imported-cabbageworm"));
  return life;
}

struct OneBed {
  World world;
  std::vector<Future> futures;
  Prior prior = prior_of(worm());
  Chance chance{3, 0};
  Members members;

  explicit OneBed(std::size_t count) {
    world.first = *Date::from_ymd(2026, 6, 1);
    world.days = 2;
    world.beds.push_back({"1", 0.0, 0.0, 8.0});
    world.bed_days.assign(2, BedDay{30.0F, 1.0F});
    world.resting.assign(2, 0.0F);
    weather::HourlySeries air{world.first, {}};
    weather::HourlyDay hours;
    for (auto& hour : hours) hour = Temperature::celsius(20.0);
    air.days.assign(3, hours);
    futures.push_back({steps_of(worm(), air, world.first, world.first + Days{1}), {}});
    prior.beliefs[static_cast<std::size_t>(Unknown::clumping)].spread = 0.0;
    members = draw_members(worm(), world, prior, count, chance);
  }
  Course course() const { return {worm(), world, futures, {}}; }
};

// The importance weights of newcomers against the integral they stand for: belief × ∫ density × likelihood over the logarithm of the
// number.
TEST(Newcomers, WeighWhatTheBeliefInThemWeighs) {
  OneBed bed(4096);
  const Course course = bed.course();
  const Sighting found{0, 4, pest::stages_for(*worm().dossier, "larva").stages, 1.0, 20, 12, {}};
  const Looking looking{course, found};
  const std::vector<double> equal(4096, 1.0 / 4096.0);
  double sum = 0.0;
  Expected expected;
  for (std::uint32_t number = 0; number < 32; ++number) {
    Members members = bed.members;
    std::vector<double> logs(4096, -std::log(4096.0));
    add_newcomers({&looking, 1}, members, logs, bed.chance, number, 0.02);
    double old = 0.0;
    for (std::size_t i = 0; i < logs.size(); ++i)
      if (i % 32 != number) old += std::exp(logs[i]);
    EXPECT_NEAR(old, 0.98, 1e-9);
    expected.mean.resize(4096);
    for (std::size_t block = 0; block < 4096 / lanes; ++block) looking.ask(members, block, expected);
    looking.spread(members, equal, expected);
    weigh(found, expected, logs);
    for (std::size_t i = number; i < logs.size(); i += 32) sum += std::exp(logs[i]) / 32.0;
  }
  const auto k = static_cast<double>(expected.k[0]);
  double integral = 0.0;
  for (double log_mean = -3.0; log_mean < 8.0; log_mean += 1e-3)
    integral += 1e-3 / 9.2103 * probability({std::exp(log_mean) + stray_per_plant * 20, k}, 12);
  EXPECT_NEAR(sum / (0.02 * integral), 1.0, 0.05);
}

TEST(Newcomers, NoneComeWhereTheModelIsSaidToKnowAll) {
  OneBed bed(256);
  const Course course = bed.course();
  const Looking looking{course, {0, 4, pest::stages_for(*worm().dossier, "larva").stages, 1.0, 20, 12, {}}};
  std::vector<double> logs(256, -std::log(256.0));
  const std::vector<double> were = logs;
  add_newcomers({&looking, 1}, bed.members, logs, bed.chance, 0, 0.0);
  EXPECT_EQ(logs, were);
}

// Liu & West 2001: the cloud keeps its mean and covariance. Here also what the numbers in the bed say of the unknowns.
TEST(Refresh, KeepsMeansAndCovariancesAndWhatNumbersSay) {
  constexpr std::size_t n = 8192;
  OneBed bed(n);
  const auto number = [&](std::size_t i) -> float& {
    return bed.members.state.bed(i / lanes, 0)[worm().stages[1].first * lanes + i % lanes];
  };
  const auto z = [&](std::size_t u, std::size_t i) -> float& { return bed.members.z[i / lanes][u][i % lanes]; };
  for (std::size_t i = 0; i < n; ++i) {
    z(1, i) = 0.5F + 0.8F * z(0, i) + 0.6F * z(1, i);
    number(i) = 20.0F * std::exp(0.9F * z(1, i) + 0.3F * z(2, i));
  }
  const auto covariance = [&](std::size_t a, std::size_t b) {  // unknowns; 8 stands for the logarithm of the number
    const auto of = [&](std::size_t u, std::size_t i) {
      return u == 8 ? std::log(1.0 + static_cast<double>(number(i))) : static_cast<double>(z(u, i));
    };
    double mean_a = 0.0;
    double mean_b = 0.0;
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      mean_a += of(a, i) / n;
      mean_b += of(b, i) / n;
    }
    for (std::size_t i = 0; i < n; ++i) sum += (of(a, i) - mean_a) * (of(b, i) - mean_b) / n;
    return sum;
  };
  const std::array<std::array<std::size_t, 2>, 8> pairs{{{0, 0}, {1, 1}, {0, 1}, {1, 8}, {2, 8}, {2, 2}, {0, 8}, {1, 2}}};
  std::vector<double> before;
  for (const auto& [a, b] : pairs) before.push_back(covariance(a, b));
  const float first = z(0, 0);
  refresh(worm(), bed.prior, bed.members, 0, bed.chance, 5);
  for (std::size_t p = 0; p < pairs.size(); ++p) EXPECT_NEAR(covariance(pairs[p][0], pairs[p][1]), before[p], 0.05) << p;
  EXPECT_NE(z(0, 0), first);
}

}  // namespace
}  // namespace leafturn::population
