#include "core/population/assimilate.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

constexpr double impossible = -std::numeric_limits<double>::infinity();

// The tree over any summand, without an array of them. Eight running sums fill a vector register; their order is fixed, too.
template <class Term>
double leaf(std::size_t first, std::size_t count, const Term& term) {
  double lane[8] = {};
  std::size_t i = 0;
  for (; i + 8 <= count; i += 8)
    for (std::size_t j = 0; j < 8; ++j) lane[j] += term(first + i + j);
  for (std::size_t j = 0; i < count; ++i, ++j) lane[j] += term(first + i);
  return ((lane[0] + lane[4]) + (lane[2] + lane[6])) + ((lane[1] + lane[5]) + (lane[3] + lane[7]));
}

template <class Term>
double tree(std::size_t first, std::size_t count, const Term& term) {
  if (count <= sum_block) return leaf(first, count, term);
  const std::size_t blocks = (count + sum_block - 1) / sum_block;
  const std::size_t left = std::bit_floor(blocks - 1) * sum_block;
  const double sum = tree(first, left, term);
  return sum + tree(first + left, count - left, term);
}

double largest(std::span<const double> x) {
  double top = impossible;
  for (const double v : x) {
    if (!(v < std::numeric_limits<double>::infinity())) return v;  // +∞ or NaN
    top = std::max(top, v);
  }
  return top;
}

template <class T>
Moments moments_of(std::span<const T> values, std::span<const double> weights) {
  const std::size_t n = values.size();
  const auto weight = [&](std::size_t i) { return weights.empty() ? 1.0 : weights[i]; };
  const double total = tree(0, n, weight);
  if (!(total > 0.0)) return {};
  const double mean = tree(0, n, [&](std::size_t i) { return weight(i) * static_cast<double>(values[i]); }) / total;
  const double squares = tree(0, n, [&](std::size_t i) {
    const double off = static_cast<double>(values[i]) - mean;
    return weight(i) * off * off;
  });
  return {mean, squares / total};
}

template <class T>
void move_cloud(std::span<T> values, std::span<const double> weights, Shrinkage how, std::span<const double> normals) {
  const Moments now = moments_of(std::span<const T>{values}, weights);
  const double towards = (1.0 - how.shrink) * now.mean;
  const double width = num::sqrt(how.kernel_variance * now.variance);
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = static_cast<T>(how.shrink * static_cast<double>(values[i]) + towards + width * normals[i]);
}

}  // namespace

double tree_sum(std::span<const double> x) {
  return tree(0, x.size(), [&](std::size_t i) { return x[i]; });
}

double join_blocks(std::span<const double> sums) {
  if (sums.empty()) return 0.0;
  if (sums.size() == 1) return sums[0];
  const std::size_t left = std::bit_floor(sums.size() - 1);
  const double sum = join_blocks(sums.first(left));
  return sum + join_blocks(sums.subspan(left));
}

double log_sum_exp(std::span<const double> x) {
  const double top = largest(x);
  if (!std::isfinite(top)) return top;
  return top + num::log(tree(0, x.size(), [&](std::size_t i) { return num::exp(x[i] - top); }));
}

std::optional<double> normalise(std::span<const double> log_weights, std::span<double> weights) {
  const double top = largest(log_weights);
  if (!std::isfinite(top)) return std::nullopt;
  for (std::size_t i = 0; i < weights.size(); ++i) weights[i] = num::exp(log_weights[i] - top);
  const double total = tree_sum(weights);
  const double scale = 1.0 / total;
  for (double& w : weights) w *= scale;
  return top + num::log(total);
}

double effective_size(std::span<const double> weights) {
  const double total = tree_sum(weights);
  if (!(total > 0.0)) return 0.0;
  return total * total / tree(0, weights.size(), [&](std::size_t i) { return weights[i] * weights[i]; });
}

double entropy_size(std::span<const double> weights) {
  const double total = tree_sum(weights);
  if (!(total > 0.0)) return 0.0;
  return num::exp(tree(0, weights.size(), [&](std::size_t i) {
    const double w = weights[i] / total;
    return w > 0.0 ? -w * num::log(w) : 0.0;
  }));
}

bool resample(std::span<const double> weights, double u0, std::span<std::uint32_t> picked) {
  double total = 0.0;  // summed in the order in which it is reached below
  std::size_t last = weights.size();
  for (std::size_t i = 0; i < weights.size(); ++i) {
    total += weights[i];
    if (weights[i] > 0.0) last = i;
  }
  if (!(total > 0.0)) return false;
  std::size_t at = 0;
  while (!(weights[at] > 0.0)) ++at;
  double reached = weights[at];
  const double step = total / static_cast<double>(picked.size());
  for (std::size_t i = 0; i < picked.size(); ++i) {
    const double point = (u0 + static_cast<double>(i)) * step;
    // Rounding may put the last points beyond the last sum, hence the stop at the last that can be picked.
    while (reached < point && at < last) reached += weights[++at];
    picked[i] = static_cast<std::uint32_t>(at);
  }
  return true;
}

Shrinkage liu_west(double discount) {
  if (!(discount > 1.0 / 3.0 && discount < 1.0)) return {};
  const double shrink = (3.0 * discount - 1.0) / (2.0 * discount);
  return {shrink, 1.0 - shrink * shrink};
}

Moments moments(std::span<const double> values, std::span<const double> weights) { return moments_of(values, weights); }
Moments moments(std::span<const float> values, std::span<const double> weights) { return moments_of(values, weights); }

void shrink_and_jitter(std::span<double> values, std::span<const double> weights, Shrinkage how, std::span<const double> normals) {
  move_cloud(values, weights, how, normals);
}
void shrink_and_jitter(std::span<float> values, std::span<const double> weights, Shrinkage how, std::span<const double> normals) {
  move_cloud(values, weights, how, normals);
}

}  // namespace leafturn::population
