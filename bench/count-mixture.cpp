/// What an ensemble's mixture of counts costs, against summing its members one by one in the same round: the time to make it and score one
/// count, and how far the two scores lie apart.

#include <chrono>
#include <cmath>
#include <string>
#include <vector>

#include "bench/support/bench.hpp"
#include "core/base/random.hpp"
#include "core/population/count_mixture.hpp"

namespace {

using namespace leafturn;
using population::CountMixture;
using population::NegativeBinomial;

constexpr std::size_t members = 4096;

struct Cloud {
  std::string name;
  double centre, spread, k, k_spread;
};

std::vector<NegativeBinomial> draw(const Cloud& cloud, std::uint64_t seed) {
  num::Draws draws({.seed = seed, .use = num::Use::bench});
  std::vector<NegativeBinomial> parts;
  for (std::size_t i = 0; i < members; ++i)
    parts.push_back({cloud.centre * std::exp(cloud.spread * draws.normal()), cloud.k * std::exp(cloud.k_spread * draws.normal())});
  return parts;
}

// CRPS of the mixture with every member's probability at every count, until next to nothing is left.
double one_by_one(const std::vector<NegativeBinomial>& parts, std::int64_t came) {
  std::vector<double> p;
  for (const NegativeBinomial& part : parts) p.push_back(population::probability(part, 0) / static_cast<double>(members));
  double up_to = 0.0;
  double score = 0.0;
  for (std::int64_t n = 0; n <= came || up_to < 1.0 - 1e-9; ++n) {
    const auto at = static_cast<double>(n);
    for (std::size_t i = 0; i < members; ++i) {
      up_to += p[i];
      p[i] *= (1.0 + at / parts[i].k) / (1.0 + parts[i].mean / parts[i].k) * parts[i].mean / (at + 1.0);
    }
    const double miss = up_to - (n >= came ? 1.0 : 0.0);
    score += miss * miss;
  }
  return score;
}

template <class Work>
double milliseconds(const Work& work) {
  const auto begun = std::chrono::steady_clock::now();
  work();
  return 1e3 * std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "count-mixture");
  const int rounds = options.quick ? 5 : 15;
  bench::Results results{options};
  const std::vector<Cloud> clouds{{"few", 0.3, 1.2, 0.5, 0.4}, {"tens", 20.0, 0.8, 1.5, 0.4}, {"hundreds", 200.0, 0.6, 3.0, 0.3}};
  for (const Cloud& cloud : clouds) {
    std::vector<double> joined, plain, ratios, apart;
    for (int round = 0; round < rounds; ++round) {
      const auto parts = draw(cloud, options.seed * 1000 + static_cast<std::uint64_t>(round));
      const auto came = static_cast<std::int64_t>(cloud.centre);
      double score = 0.0;
      double expected = 0.0;
      double sd = 1.0;
      joined.push_back(milliseconds([&] {
        const auto mixture = CountMixture::of(parts);
        score = mixture->crps(came) + 0.0 * mixture->log_score(came);
        sd = std::sqrt(mixture->variance());
      }));
      plain.push_back(milliseconds([&] { expected = one_by_one(parts, came); }));
      ratios.push_back(plain.back() / joined.back());
      apart.push_back(std::abs(score - expected) / sd);
    }
    results.figure(cloud.name + "_ms", bench::estimate(joined));
    results.figure(cloud.name + "_one_by_one_ms", bench::estimate(plain));
    results.figure(cloud.name + "_times_faster", bench::estimate(ratios));
    results.figure(cloud.name + "_crps_apart_in_sd", bench::estimate(apart));
    results.raw(cloud.name + "_ms", joined);
    results.raw(cloud.name + "_one_by_one_ms", plain);
  }

  // Counts in the tens of thousands: one by one would take minutes.
  std::vector<double> large;
  for (int round = 0; round < rounds; ++round) {
    const auto parts = draw({"ten_thousands", 20'000.0, 0.5, 2.0, 0.3}, options.seed * 1000 + static_cast<std::uint64_t>(round));
    large.push_back(milliseconds([&] { return CountMixture::of(parts)->crps(15'000); }));
  }
  results.figure("ten_thousands_ms", bench::estimate(large));
  results.raw("ten_thousands_ms", large);
  return results.finish();
}
