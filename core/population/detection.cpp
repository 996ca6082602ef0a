#include "core/population/detection.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/population/assimilate.hpp"

namespace leafturn::population {

// Of the total, k were found by both and u = a + b − k individuals found at all: C(N, a)·C(N, b) = Σ_k u!/(k!·(a − k)!·(b − k)!)·C(N, u).
// With q = 1 − p and x = q², Σ_N C(N, u)·x^N/N = (x/(1 − x))^u/u, so the upper sum has no more terms than the smaller count:
// (p/q)^(a + b)·Σ_k (u − 1)!/(k!·(a − k)!·(b − k)!)·(x/(1 − x))^u. The lower sum, over even numbers of draws, is
// (1 + (−p/(2 − p))^(a + b))/(a + b).
double log_chance_of_split(std::int64_t first, std::int64_t second, double p) {
  const auto a = static_cast<double>(first);
  const auto b = static_cast<double>(second);
  const double total = a + b;
  if (!(total > 0.0)) return 0.0;
  const double q = 1.0 - p;
  const double odds = q * q / (p * (2.0 - p));  // x/(1 − x)
  double log_scale = num::log_gamma(total) - num::log_gamma(a + 1.0) - num::log_gamma(b + 1.0) + total * num::log(q / (2.0 - p));
  double term = 1.0;
  double sum = 1.0;
  constexpr double large = 0x1p500;
  for (double k = 0.0; k < std::min(a, b); k += 1.0) {
    term *= (a - k) * (b - k) / ((k + 1.0) * (total - k - 1.0) * odds);
    sum += term;
    if (term < 1e-17 * sum) break;  // terms rise once and fall
    if (sum > large) {
      sum /= large;
      term /= large;
      log_scale += 500.0 * 0.69314718055994530942;
    }
  }
  const double sign = (first + second) % 2 == 0 ? 1.0 : -1.0;
  const double uneven = sign * num::exp(total * num::log(p / (2.0 - p)));
  return log_scale + num::log(sum) + num::log(total) - num::log1p(uneven);
}

std::optional<Detection> Detection::of(double mean, double sd) {
  const double room = mean * (1.0 - mean);
  if (!(mean > 0.0 && mean < 1.0 && sd > 0.0 && sd * sd < room)) return std::nullopt;
  const double size = room / (sd * sd) - 1.0;
  Detection detection;
  for (std::size_t i = 0; i < steps; ++i)
    detection.log_belief_[i] = (mean * size - 1.0) * num::log(share(i)) + ((1.0 - mean) * size - 1.0) * num::log1p(-share(i));
  if (!normalise(detection.log_belief_, detection.belief_)) return std::nullopt;
  detection.first_sd_ = detection.sd();
  return detection;
}

bool Detection::learn(const PairedCount& pair) {
  if (pair.plants < fewest_paired_plants || pair.first < 0 || pair.second < 0 || pair.first + pair.second == 0) return false;
  auto next = log_belief_;
  for (std::size_t i = 0; i < steps; ++i) next[i] += log_chance_of_split(pair.first, pair.second, share(i));
  if (!normalise(next, belief_)) return false;
  log_belief_ = next;
  return true;
}

double Detection::mean() const {
  double sum = 0.0;
  for (std::size_t i = 0; i < steps; ++i) sum += belief_[i] * share(i);
  return sum;
}

double Detection::sd() const {
  const double middle = mean();
  double sum = 0.0;
  for (std::size_t i = 0; i < steps; ++i) sum += belief_[i] * (share(i) - middle) * (share(i) - middle);
  return num::sqrt(sum);
}

double Detection::quantile(double level) const {
  double below = 0.0;
  for (std::size_t i = 0; i < steps; ++i) {
    // Within a step belief is spread evenly.
    if (below + belief_[i] >= level && belief_[i] > 0.0)
      return (static_cast<double>(i) + std::clamp((level - below) / belief_[i], 0.0, 1.0)) / static_cast<double>(steps);
    below += belief_[i];
  }
  return 1.0;
}

bool Detection::learned() const { return sd() * sd() < 0.8 * first_sd_ * first_sd_; }

}  // namespace leafturn::population
