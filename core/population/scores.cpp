#include "core/population/scores.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "core/base/elementary.hpp"
#include "core/base/normal.hpp"
#include "core/population/count_mixture.hpp"

namespace leafturn::population {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
constexpr double log_two_pi = 1.8378770664093454836;

// Σ|x_i − x_j| over unordered pairs is Σ (2i − n + 1)·x_(i), i from 0, when sorted.
double ensemble_score(std::span<const double> members, double came, double pairs) {
  std::vector<double> sorted{members.begin(), members.end()};
  std::sort(sorted.begin(), sorted.end());
  const auto n = static_cast<double>(sorted.size());
  double error = 0.0;
  double spread = 0.0;
  for (std::size_t i = 0; i < sorted.size(); ++i) {
    error += std::abs(sorted[i] - came);
    // From where the truth is: large members with small differences don't cancel.
    spread += (2.0 * static_cast<double>(i) - n + 1.0) * (sorted[i] - came);
  }
  return error / n - spread / pairs;
}

}  // namespace

double crps_normal(double mean, double sd, double came) {
  const double z = (came - mean) / sd;
  const double density = num::exp(-0.5 * (z * z + log_two_pi));
  return sd * (z * (2.0 * num::normal_cdf(z) - 1.0) + 2.0 * density - 1.0 / num::sqrt(num::pi));
}

double crps_counts(NegativeBinomial forecast, std::int64_t came) {
  const double mean = forecast.mean;
  if (!(mean > 0.0)) return static_cast<double>(came);
  const double per_k = 1.0 / forecast.k;
  constexpr double long_sum = 200'000.0;
  if (mean + 9.0 * num::sqrt(variance(forecast)) + 40.0 * mean * per_k > long_sum) {
    const auto mixture = CountMixture::of({&forecast, 1});
    return mixture ? mixture->crps(came) : nothing;
  }
  const double ratio_end = mean * per_k / (1.0 + mean * per_k);  // of successive probabilities, far out
  // Below the start lies less than 1e-16: the lower tail is lighter than a normal one.
  const double start = std::max(0.0, std::floor(mean - 9.0 * num::sqrt(variance(forecast))));
  auto n = static_cast<std::int64_t>(start);
  double score = n > came ? static_cast<double>(n - came) : 0.0;
  double term = probability(forecast, n);
  double up_to = term;
  // Where the first probability is beyond what a double holds, each is computed until one isn't.
  for (;; ++n) {
    const double miss = n >= came ? 1.0 - up_to : up_to;
    score += miss * miss;
    const auto at = static_cast<double>(n);
    const double ratio = (1.0 + at * per_k) / (1.0 + mean * per_k) * mean / (at + 1.0);
    term = term > 1e-280 ? term * ratio : probability(forecast, n + 1);
    up_to += term;
    const double slowest = std::max(ratio, ratio_end);
    if (n >= came && at > mean && slowest < 1.0 && term < 1e-17 * (1.0 - slowest)) break;
  }
  return score;
}

double crps_ensemble(std::span<const double> members, double came) {
  const auto n = static_cast<double>(members.size());
  return members.empty() ? nothing : ensemble_score(members, came, n * n);
}

double crps_ensemble_fair(std::span<const double> members, double came) {
  const auto n = static_cast<double>(members.size());
  return members.size() < 2 ? nothing : ensemble_score(members, came, n * (n - 1.0));
}

double log_score_normal(double mean, double sd, double came) {
  const double z = (came - mean) / sd;
  return num::log(sd) + 0.5 * (z * z + log_two_pi);
}

double log_score_counts(NegativeBinomial forecast, std::int64_t came) { return -log_probability(forecast, came); }

double interval_score(double low, double high, double alpha, double came) {
  return (high - low) + 2.0 / alpha * (std::max(low - came, 0.0) + std::max(came - high, 0.0));
}

double ranked_probability_score(std::span<const double> forecast, std::size_t came) {
  double cumulative = 0.0;
  double score = 0.0;
  for (std::size_t i = 0; i < forecast.size(); ++i) {
    cumulative += forecast[i];
    const double miss = cumulative - (i >= came ? 1.0 : 0.0);
    score += miss * miss;
  }
  return score;
}

PitInterval pit_interval(NegativeBinomial forecast, std::int64_t came) {
  return {probability_up_to(forecast, came - 1), probability_up_to(forecast, came)};
}

double randomised_pit(PitInterval at, double u) { return at.below + u * (at.up_to - at.below); }

double covered(PitInterval at, double low, double high) {
  const double width = at.up_to - at.below;
  if (!(width > 0.0)) return at.below >= low && at.below <= high ? 1.0 : 0.0;
  return std::clamp((std::min(at.up_to, high) - std::max(at.below, low)) / width, 0.0, 1.0);
}

Hits expected_hits(std::int64_t forecasts, double nominal, double within) {
  const auto n = static_cast<double>(forecasts);
  const auto quantile_at = [&](double level) {
    double up_to = 0.0;
    for (std::int64_t hits = 0; hits < forecasts; ++hits) {
      const auto h = static_cast<double>(hits);
      const double ways = num::log_gamma(n + 1.0) - num::log_gamma(h + 1.0) - num::log_gamma(n - h + 1.0);
      up_to += num::exp(ways + h * num::log(nominal) + (n - h) * num::log1p(-nominal));
      if (up_to >= level) return hits;
    }
    return forecasts;
  };
  return {quantile_at(0.5 * (1.0 - within)), quantile_at(0.5 * (1.0 + within))};
}

}  // namespace leafturn::population
