#include "core/phenology/rate.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::phenology {

double rate_per_day(const pest::LinearRate& rate, Temperature t) {
  const Temperature lower = rate.lower.value;
  if (!(t > lower) || (rate.lethal && t >= rate.lethal->value)) return 0.0;
  const Temperature felt = rate.upper ? std::min(t, rate.upper->value) : t;
  const double constant = rate.constant.value.celsius_days();
  return constant > 0.0 ? std::max(0.0, (felt - lower).kelvin()) / constant : 0.0;
}

std::optional<double> days_at(const pest::LinearRate& rate, Temperature t) {
  const double r = rate_per_day(rate, t);
  if (r > 0.0) return 1.0 / r;
  return std::nullopt;
}

int substages(double coefficient_of_variation) {
  constexpr double most = 64.0;
  const double wanted = 1.0 / (coefficient_of_variation * coefficient_of_variation);
  if (!(wanted < most)) return static_cast<int>(most);
  return std::max(1, static_cast<int>(std::floor(wanted + 0.5)));
}

double erlang_cdf(int k, double mean, double x) {
  if (!(x > 0.0)) return 0.0;
  const double z = x * k / mean;
  // e^−z would underflow into a sum that overflows; at k ≤ 170 the tail is below 1e-127 there.
  if (z > 700.0) return 1.0;
  double term = num::exp(-z);
  double tail = term;
  for (int i = 1; i < k; ++i) {
    term *= z / i;
    tail += term;
  }
  return std::max(0.0, 1.0 - tail);
}

}  // namespace leafturn::phenology
