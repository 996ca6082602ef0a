#include "core/decision/density.hpp"

#include "core/base/special.hpp"

namespace leafturn::decision {

Density density_of(int count, int plants, double k) {
  const double seen = count + 0.5;
  return {seen / plants, 1.0 / seen + 1.0 / (plants * k)};
}

Density scaled(const Density& d, double share) { return {d.mean * share, d.relative_variance}; }

Density sum(const Density& a, const Density& b) {
  const double mean = a.mean + b.mean;
  if (!(mean > 0.0)) return {0.0, 1.0};
  const double variance = a.relative_variance * a.mean * a.mean + b.relative_variance * b.mean * b.mean;
  return {mean, variance / (mean * mean)};
}

Estimate estimate(const Density& d) {
  if (!(d.mean > 0.0)) return {};
  const double shape = 1.0 / d.relative_variance;
  const double scale = d.mean / shape;
  return {d.mean, num::gamma_quantile(shape, 0.05) * scale, num::gamma_quantile(shape, 0.95) * scale};
}

double probability_over(const Density& d, double threshold) {
  if (!(d.mean > 0.0)) return 0.0;
  const double shape = 1.0 / d.relative_variance;
  return 1.0 - num::gamma_cdf(shape, threshold * shape / d.mean);
}

}  // namespace leafturn::decision
