#include "core/base/random.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <set>
#include <vector>

#include "core/base/elementary.hpp"
#include "tests/support/check_rows.hpp"

namespace num = leafturn::num;
using leafturn::test::check_row;
using leafturn::test::check_row_between;
using leafturn::test::From;

namespace {

constexpr int tries = 200'000;

num::Draws draws(std::uint64_t seed, std::uint32_t member = 0) { return num::Draws{{.seed = seed, .member = member}}; }

struct Moments {
  double mean = 0.0;
  double variance = 0.0;
};

template <class Draw>
Moments moments(Draw draw) {
  double sum = 0.0;
  double squares = 0.0;
  for (int i = 0; i < tries; ++i) {
    const auto x = static_cast<double>(draw());
    sum += x;
    squares += x * x;
  }
  const double mean = sum / tries;
  return {mean, squares / tries - mean * mean};
}

// Pearson's chi-square over the counts 0…cells−1 (the last cell takes the rest), against exact probabilities.
template <class Draw>
double chi_square(Draw draw, const std::vector<double>& probability) {
  std::vector<double> seen(probability.size(), 0.0);
  for (int i = 0; i < tries; ++i) {
    const auto k = static_cast<std::size_t>(draw());
    seen[std::min(k, seen.size() - 1)] += 1.0;
  }
  double sum = 0.0;
  for (std::size_t i = 0; i < seen.size(); ++i) {
    const double expected = tries * probability[i];
    sum += (seen[i] - expected) * (seen[i] - expected) / expected;
  }
  return sum;
}

// Groups neighbouring counts until each group has probability of at least 1 %, and returns the map from count to group too.
struct Groups {
  std::vector<double> probability;
  std::vector<std::size_t> group_of;
};

Groups grouped(const std::function<double(int)>& pmf, int largest) {
  Groups groups;
  double open = 0.0;
  double total = 0.0;
  for (int k = 0; k <= largest; ++k) {
    groups.group_of.push_back(groups.probability.size());
    open += pmf(k);
    total += pmf(k);
    if (open >= 0.01) {
      groups.probability.push_back(open);
      open = 0.0;
    }
  }
  if (groups.group_of.back() == groups.probability.size()) groups.probability.push_back(0.0);
  groups.probability.back() += open + (1.0 - total);
  return groups;
}

// Wilson & Hilferty 1931: the 99.99 % point of chi-square.
double chi_square_limit(std::size_t cells) {
  const double df = static_cast<double>(cells) - 1.0;
  const double h = 2.0 / (9.0 * df);
  return df * std::pow(1.0 - h + 3.719 * std::sqrt(h), 3.0);
}

template <class Draw>
void check_distribution(const char* id, const char* what, Draw draw, const std::function<double(int)>& pmf, int largest) {
  const Groups groups = grouped(pmf, largest);
  const double statistic = chi_square(
      [&] {
        const auto k = static_cast<std::size_t>(draw());
        return k < groups.group_of.size() ? groups.group_of[k] : groups.probability.size() - 1;
      },
      groups.probability);
  check_row_between(
      {std::string("base.random.") + id, std::string(what) + ": chi-square of 200,000 draws against exact probabilities",
       "probability function by the C library's lgamma; limit Wilson & Hilferty 1931, 99.99 %", "derived", From::independent, 0, 0, ""},
      0.0, chi_square_limit(groups.probability.size()), statistic);
}

double log_poisson(int k, double mean) { return k * std::log(mean) - mean - std::lgamma(k + 1.0); }
double log_binomial(int k, int n, double p) {
  return std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0) + k * std::log(p) + (n - k) * std::log1p(-p);
}
double log_negative_binomial(int x, double mean, double k) {
  return std::lgamma(k + x) - std::lgamma(k) - std::lgamma(x + 1.0) + k * std::log(k / (k + mean)) + x * std::log(mean / (k + mean));
}

}  // namespace

TEST(Philox, KnownAnswers) {
  struct Known {
    std::array<std::uint32_t, 4> counter;
    std::array<std::uint32_t, 2> key;
    std::array<std::uint32_t, 4> answer;
  };
  const Known rows[] = {
      {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
      {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}, {0xffffffff, 0xffffffff}, {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
      {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}, {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
  };
  int row = 0;
  for (const auto& r : rows) {
    const auto got = num::philox4x32(r.counter, r.key);
    for (std::size_t word = 0; word < 4; ++word)
      check_row(
          {"base.philox.vector" + std::to_string(row) + "." + std::to_string(word), "Philox 4×32-10, known-answer vector, one output word",
           "Salmon, Moraes, Dror & Shaw 2011, known-answer file of the published generator", "memory", From::memory,
           static_cast<double>(r.answer[word]), 0.0, ""},
          static_cast<double>(got[word]));
    ++row;
  }
}

TEST(Draws, DependOnThePlaceOnlyAndNeverOnTheOrder) {
  num::Place here{.seed = 1, .member = 2, .day = 3, .bed = 4, .pest = 5, .stage = 6, .use = num::Use::test};
  num::Draws a{here};
  const auto first = a.bits();
  const auto second = a.bits();
  num::Draws b{here};
  EXPECT_EQ(b.bits(), first);
  num::Draws copy = b;
  EXPECT_EQ(copy.bits(), second);
  EXPECT_EQ(b.bits(), second);
}

TEST(Draws, EveryCoordinateMatters) {
  const num::Place base{.seed = 1, .member = 2, .day = 3, .bed = 4, .pest = 5, .stage = 6, .use = num::Use::test};
  std::vector<num::Place> places(8, base);
  places[1].seed = 2;
  places[2].member = 3;
  places[3].day = -3;
  places[4].bed = 5;
  places[5].pest = 6;
  places[6].stage = 7;
  places[7].use = num::Use::fit;
  std::set<std::uint64_t> firsts;
  for (const auto& place : places) firsts.insert(num::Draws{place}.bits());
  EXPECT_EQ(firsts.size(), places.size());
}

TEST(Draws, FrozenNumbers) {
  // Results kept in ledgers and figures depend on these: they never change.
  num::Draws d{{.seed = 42, .member = 1, .day = 20000, .bed = 3, .pest = 1, .stage = 2}};
  const double got[] = {d.uniform(),
                        d.normal(),
                        d.exponential(),
                        d.gamma(0.4),
                        d.gamma(7.5),
                        static_cast<double>(d.poisson(3.0)),
                        static_cast<double>(d.poisson(250.0)),
                        static_cast<double>(d.binomial(20, 0.3)),
                        static_cast<double>(d.binomial(1000, 0.4)),
                        static_cast<double>(d.negative_binomial(4.0, 0.8))};
  const double kept[] = {
      0x1.23b56fef7cd91p-1, 0x1.555bff50f46c3p-6, 0x1.1f6e720f7ea08p+0, 0x1.f934e1f37bb32p-2, 0x1.78f891063a924p+2, 4, 244, 6, 412, 1};
  for (std::size_t i = 0; i < std::size(kept); ++i)
    EXPECT_TRUE(num::exactly_equal(got[i], kept[i])) << i << ": " << std::hexfloat << got[i];
}

TEST(Draws, UniformIsFlatAndNeverAnEnd) {
  auto d = draws(1);
  double low = 1.0;
  double high = 0.0;
  std::vector<double> flat(100, 0.01);
  const double statistic = chi_square(
      [&] {
        const double u = d.uniform();
        low = std::min(low, u);
        high = std::max(high, u);
        return static_cast<std::size_t>(u * 100.0);
      },
      flat);
  EXPECT_GT(low, 0.0);
  EXPECT_LT(high, 1.0);
  check_row_between({"base.random.uniform", "uniform draws in 100 cells: chi-square of 200,000 draws",
                     "chi-square limit, Wilson & Hilferty 1931, 99.99 %", "derived", From::independent, 0, 0, ""},
                    30.0, chi_square_limit(100), statistic);
}

TEST(Draws, NeighbouringPlacesAreUncorrelated) {
  double sum = 0.0;
  constexpr int places = 50'000;
  for (std::uint32_t member = 0; member < places; ++member)
    sum += (draws(5, member).uniform() - 0.5) * (draws(5, member + 1).uniform() - 0.5);
  // Each product has standard deviation 1/12.
  EXPECT_LT(std::abs(sum / places) * 12.0 * std::sqrt(places), 4.0);
}

TEST(Draws, NormalFollowsTheErrorFunction) {
  auto d = draws(2);
  // The quantile of u, put back through the C library's distribution function, is u again.
  auto twin = d;
  for (int i = 0; i < 20'000; ++i) {
    const double x = d.normal();
    EXPECT_NEAR(0.5 * std::erfc(-x / std::sqrt(2.0)), twin.uniform(), 2e-15);
  }
  auto e = draws(3);
  const Moments m = moments([&] { return e.normal(); });
  EXPECT_NEAR(m.mean, 0.0, 4.0 / std::sqrt(tries));
  EXPECT_NEAR(m.variance, 1.0, 4.0 * std::sqrt(2.0 / tries));
}

TEST(Draws, ExponentialAndGammaHaveTheirMoments) {
  auto d = draws(4);
  const Moments e = moments([&] { return d.exponential(); });
  EXPECT_NEAR(e.mean, 1.0, 4.0 / std::sqrt(tries));
  EXPECT_NEAR(e.variance, 1.0, 4.0 * std::sqrt(8.0 / tries));
  for (const double shape : {0.1, 0.5, 1.0, 2.5, 40.0}) {
    const Moments g = moments([&] { return d.gamma(shape); });
    EXPECT_NEAR(g.mean, shape, 4.0 * std::sqrt(shape / tries)) << shape;
    EXPECT_NEAR(g.variance, shape, 4.0 * std::sqrt((2.0 * shape * shape + 6.0 * shape) / tries)) << shape;
  }
}

TEST(Draws, PoissonFollowsItsProbabilities) {
  auto d = draws(6);
  check_distribution(
      "poisson.small", "Poisson, mean 0.3", [&] { return d.poisson(0.3); }, [](int k) { return std::exp(log_poisson(k, 0.3)); }, 20);
  check_distribution(
      "poisson.below_switch", "Poisson, mean 9.99", [&] { return d.poisson(9.99); }, [](int k) { return std::exp(log_poisson(k, 9.99)); },
      60);
  check_distribution(
      "poisson.above_switch", "Poisson, mean 10.01", [&] { return d.poisson(10.01); },
      [](int k) { return std::exp(log_poisson(k, 10.01)); }, 60);
  check_distribution(
      "poisson.large", "Poisson, mean 300", [&] { return d.poisson(300.0); }, [](int k) { return std::exp(log_poisson(k, 300.0)); }, 600);
}

TEST(Draws, BinomialFollowsItsProbabilities) {
  auto d = draws(7);
  check_distribution(
      "binomial.small", "binomial, n 20, p 0.3", [&] { return d.binomial(20, 0.3); },
      [](int k) { return std::exp(log_binomial(k, 20, 0.3)); }, 20);
  check_distribution(
      "binomial.large", "binomial, n 500, p 0.4", [&] { return d.binomial(500, 0.4); },
      [](int k) { return std::exp(log_binomial(k, 500, 0.4)); }, 500);
  check_distribution(
      "binomial.mirrored", "binomial, n 60, p 0.9", [&] { return d.binomial(60, 0.9); },
      [](int k) { return std::exp(log_binomial(k, 60, 0.9)); }, 60);
}

TEST(Draws, NegativeBinomialFollowsItsProbabilities) {
  auto d = draws(8);
  check_distribution(
      "negative_binomial", "negative binomial, mean 4, k 0.8", [&] { return d.negative_binomial(4.0, 0.8); },
      [](int x) { return std::exp(log_negative_binomial(x, 4.0, 0.8)); }, 200);
  check_distribution(
      "negative_binomial.poisson_like", "negative binomial, mean 4, k 1000", [&] { return d.negative_binomial(4.0, 1000.0); },
      [](int x) { return std::exp(log_negative_binomial(x, 4.0, 1000.0)); }, 100);
}

TEST(Draws, EdgesOfTheParameters) {
  auto d = draws(9);
  const double nan_value = std::nan("");
  EXPECT_EQ(d.poisson(0.0), 0);
  EXPECT_EQ(d.poisson(-1.0), 0);
  EXPECT_EQ(d.poisson(nan_value), 0);
  EXPECT_EQ(d.binomial(0, 0.5), 0);
  EXPECT_EQ(d.binomial(10, 0.0), 0);
  EXPECT_EQ(d.binomial(10, 1.0), 10);
  EXPECT_EQ(d.negative_binomial(0.0, 1.0), 0);
  EXPECT_GT(d.poisson(1e18), 0);
  EXPECT_EQ(d.poisson(1e300), std::numeric_limits<std::int64_t>::max());
}
