#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/population/count_mixture.hpp"

namespace leafturn::population {

CountMixture CountMixture::set_right(double a, double b) const {
  CountMixture out = *this;
  const auto moved = [&](double p) { return std::clamp(1.0 - num::pow(1.0 - num::pow(p, a), b), 0.0, 1.0); };
  const auto steeper = [&](double p) {
    const double inside = std::clamp(p, 1e-12, 1.0 - 1e-12);
    return a * b * num::pow(inside, a - 1.0) * num::pow(1.0 - num::pow(inside, a), b - 1.0);
  };
  for (double& p : out.up_to_) p = moved(p);
  for (Node& node : out.nodes_) {
    node.slope *= steeper(node.up_to);
    node.up_to = moved(node.up_to);
  }
  // What is left beyond the last count is that count's.
  (out.nodes_.empty() ? out.up_to_.back() : out.nodes_.back().up_to) = 1.0;
  out.set_right_ = true;
  out.take_moments();
  return out;
}

// Σ (1 − F) and Σ (2n + 1)(1 − F) over the counts.
void CountMixture::take_moments() {
  double mean = 0.0;
  double square = 0.0;
  const auto exact = static_cast<std::int64_t>(nodes_.empty() ? up_to_.size() : up_to_.size() - 1);
  for (std::int64_t n = 0; n < exact; ++n) {
    const double above = 1.0 - up_to_[static_cast<std::size_t>(n)];
    mean += above;
    square += (2.0 * static_cast<double>(n) + 1.0) * above;
  }
  // Between nodes Gauss's four points, a sum over whole counts being the integral half a count earlier.
  constexpr std::array<std::pair<double, double>, 2> gauss{
      {{0.33998104358485626480, 0.65214515486254614263}, {0.86113631159405257522, 0.34785484513745385737}}};
  for (std::size_t i = 0; i + 1 < nodes_.size(); ++i) {
    const auto from = static_cast<double>(nodes_[i].count);
    const double half = 0.5 * static_cast<double>(nodes_[i + 1].count - nodes_[i].count);
    for (const auto& [x, weight] : gauss)
      for (const double side : {-1.0, 1.0}) {
        const double n = std::max(from, from + half * (1.0 + side * x) - 0.5);
        const double above = half * weight * (1.0 - between(nodes_[i], nodes_[i + 1], n));
        mean += above;
        square += (2.0 * n + 1.0) * above;
      }
  }
  mean_ = mean;
  variance_ = std::max(0.0, square - mean * mean);
}

}  // namespace leafturn::population
