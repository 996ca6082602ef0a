#include "core/population/put_right.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/population/assimilate.hpp"
#include "core/population/counts.hpp"

namespace leafturn::population {
namespace {

constexpr double worth_of_belief = 6.0;   // counts that a ratio of 1 is worth
constexpr double forgetting = 0.97;       // of the ratio, a count
constexpr double belief_in_width = 0.35;  // sd of its logarithm before any count
constexpr double width_forgets = 0.99;    // a count
constexpr double counts_are_alike = 0.5;  // counts of one garden say less than so many of different ones
constexpr std::size_t asked = 128;        // members that a width is tried on

// Logarithm of what the members expect together: what the width spreads around.
double log_mean_of(std::span<const double> weights, const Expected& expected) {
  double sum = 0.0;
  for (std::size_t i = 0; i < expected.mean.size(); ++i)
    sum += (weights.empty() ? 1.0 / static_cast<double>(expected.mean.size()) : weights[i]) * static_cast<double>(expected.mean[i]);
  return num::log(std::max(sum, 1e-12));
}

NegativeBinomial put(double mean, double k, double ratio, double width, double log_mean) {
  return {ratio * num::exp(log_mean + width * (num::log(mean) - log_mean)), k / (width * width)};
}

}  // namespace

PutRight::PutRight() {
  for (std::size_t w = 0; w < widths.size(); ++w) {
    const double z = num::log(widths[w]) / belief_in_width;
    support_[w] = -0.5 * z * z;
  }
}

double PutRight::ratio(const Sighting& sighting) const {
  const auto found = sums_.find(kind(sighting));
  if (found == sums_.end()) return 1.0;
  const auto& [came, expected] = found->second;
  return std::clamp((came + worth_of_belief) / (expected + worth_of_belief), 0.1, 10.0);
}

double PutRight::width() const {
  std::array<double, widths.size()> belief{};
  if (!normalise(support_, belief)) return 1.0;
  double log_width = 0.0;
  for (std::size_t w = 0; w < widths.size(); ++w) log_width += belief[w] * num::log(widths[w]);
  return num::exp(log_width);
}

void PutRight::apply(const Sighting& sighting, std::span<const double> weights, Expected& expected) const {
  const double by = ratio(sighting);
  const double wide = width();
  const double log_mean = log_mean_of(weights, expected);
  for (std::size_t i = 0; i < expected.mean.size(); ++i) {
    const NegativeBinomial now = put(static_cast<double>(expected.mean[i]), static_cast<double>(expected.k[i]), by, wide, log_mean);
    expected.mean[i] = static_cast<float>(now.mean);
    expected.k[i] = static_cast<float>(now.k);
  }
}

void PutRight::learn(const Sighting& sighting, std::span<const double> weights, const Expected& expected) {
  const double log_mean = log_mean_of(weights, expected);
  const double by = ratio(sighting);
  const std::vector<double> even(weights.empty() ? expected.mean.size() : 0, 1.0);
  std::array<std::uint32_t, asked> some{};
  if (!resample(weights.empty() ? std::span<const double>(even) : weights, 0.5, some)) return;
  for (std::size_t w = 0; w < widths.size(); ++w) {
    double chance = 0.0;
    for (const std::uint32_t i : some)
      chance += probability(put(static_cast<double>(expected.mean[i]), static_cast<double>(expected.k[i]), by, widths[w], log_mean),
                            sighting.count);
    const double z = num::log(widths[w]) / belief_in_width;
    const double belief = -0.5 * z * z;
    const double said = counts_are_alike * num::log(std::max(1e-9, chance / static_cast<double>(some.size())));
    support_[w] = belief + width_forgets * (support_[w] - belief) + said;
  }

  double mean = 0.0;
  for (std::size_t i = 0; i < expected.mean.size(); ++i)
    mean += (weights.empty() ? 1.0 / static_cast<double>(expected.mean.size()) : weights[i]) * static_cast<double>(expected.mean[i]);
  auto& [came, foretold] = sums_[kind(sighting)];
  // A count of hundreds is one visit as much as one of two: square roots keep one from drowning the others.
  const double weight = 1.0 / std::sqrt(1.0 + mean);
  came = forgetting * came + weight * sighting.count;
  foretold = forgetting * foretold + weight * mean;
}

}  // namespace leafturn::population
