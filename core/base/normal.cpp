#include "core/base/normal.hpp"

#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::num {

double normal_cdf(double z) {
  if (is_nan(z)) return z;
  if (z < -9.0) return 0.0;
  if (z > 9.0) return 1.0;
  constexpr double one_over_root_two_pi = 0.39894228040143267794;
  const double square = z * z;
  double term = z;
  double sum = z;
  for (int n = 3; std::abs(term) > 1e-17 * std::abs(sum) && n < 600; n += 2) {
    term *= square / n;
    sum += term;
  }
  const double below = 0.5 + sum * (one_over_root_two_pi * exp(-0.5 * square));
  return below < 0.0 ? 0.0 : below > 1.0 ? 1.0 : below;
}

}  // namespace leafturn::num
