#include "core/population/counts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "core/base/elementary.hpp"
#include "core/base/special.hpp"

namespace leafturn::population {
namespace {

constexpr double log_two_pi = 1.8378770664093454836;
// Above this k, if the mean is below k, sums of probabilities are shorter than the continued fraction.
constexpr double long_fraction = 1e4;

// What Stirling's formula misses: log Γ(x + 1) − ((x + ½) log x − x + ½ log 2π).
double stirling_rest(double x) {
  if (x < 16.0) return num::log_gamma(x + 1.0) - ((x + 0.5) * num::log(x) - x + 0.5 * log_two_pi);
  const double s = 1.0 / (x * x);
  return (1.0 / 12.0 - (1.0 / 360.0 - (1.0 / 1260.0 - (1.0 / 1680.0 - s / 1188.0) * s) * s) * s) / x;
}

// x log(x/m) + m − x for x, m > 0 and `off` = x − m, without cancelling where they are close.
double deviance(double x, double m, double off) {
  if (std::abs(off) > 0.1 * (x + m)) return x * num::log(x / m) - off;
  const double v = off / (x + m);
  const double v2 = v * v;
  double sum = off * v;
  double power = 2.0 * x * v;
  for (int j = 3; j < 200; j += 2) {
    power *= v2;
    const double next = sum + power / j;
    if (!(next > sum || next < sum)) break;
    sum = next;
  }
  return sum;
}

bool poisson(NegativeBinomial c) { return !(c.k < std::numeric_limits<double>::infinity()); }

// Sums from n away from the mean: downwards when n is below it, else what lies above is taken from 1. Terms fall at once, so few are
// needed.
double by_sums(NegativeBinomial c, std::int64_t n) {
  const double k = c.k;
  const bool plain = poisson(c);
  const auto up = [&](double at) {  // P(at + 1)/ P(at)
    return plain ? c.mean / (at + 1.0) : (1.0 + at / k) / (1.0 + c.mean / k) * c.mean / (at + 1.0);
  };
  double sum = 0.0;
  auto at = static_cast<double>(n);
  if (at < c.mean) {
    for (double term = probability(c, n); term > sum * 1e-18; term /= up(at)) {
      sum += term;
      if (at < 0.5) break;
      at -= 1.0;
    }
    return std::min(sum, 1.0);
  }
  at += 1.0;
  for (double term = probability(c, n + 1); term > sum * 1e-18; at += 1.0) {
    sum += term;
    term *= up(at);
  }
  return std::max(1.0 - sum, 0.0);
}

}  // namespace

double variance(NegativeBinomial c) { return c.mean + c.mean / c.k * c.mean; }

double log_probability(NegativeBinomial c, std::int64_t count) {
  if (count < 0) return -std::numeric_limits<double>::infinity();
  const double m = c.mean;
  if (!(m > 0.0)) return count == 0 ? 0.0 : -std::numeric_limits<double>::infinity();
  const auto n = static_cast<double>(count);
  if (poisson(c)) return count == 0 ? -m : -stirling_rest(n) - deviance(n, m, n - m) - 0.5 * (log_two_pi + num::log(n));
  const double k = c.k;
  if (count == 0) return -k * num::log1p(m / k);
  // k/(n + k) times the binomial probability of k among n + k at share k/(k + m), whose expectations are off by ∓ the same amount.
  const double all = n + k;
  const double off = (n - m) / (1.0 + m / k);
  const double share = 1.0 / (1.0 + m / k);
  const double k_part = deviance(k, all * share, -off);
  const double n_part = deviance(n, all * (m / k) * share, off);
  const double rest = stirling_rest(all) - stirling_rest(k) - stirling_rest(n);
  return rest - k_part - n_part - 0.5 * (log_two_pi + num::log(n * (1.0 + n / k)));
}

double probability(NegativeBinomial c, std::int64_t n) { return num::exp(log_probability(c, n)); }

double probability_up_to(NegativeBinomial c, std::int64_t count) {
  if (count < 0) return 0.0;
  if (!(c.mean > 0.0)) return 1.0;
  if (poisson(c) || c.k > std::max(long_fraction, c.mean)) return by_sums(c, count);
  const auto n = static_cast<double>(count);
  const double k = c.k;
  const double x = k / (k + c.mean);
  const double y = c.mean / (k + c.mean);
  const double front = probability(c, count) * (n + k) * y;
  if (x < (k + 1.0) / (k + n + 3.0)) return std::clamp(front / k * num::beta_fraction(k, n + 1.0, x), 0.0, 1.0);
  return std::clamp(1.0 - front / (n + 1.0) * num::beta_fraction(n + 1.0, k, y), 0.0, 1.0);
}

std::int64_t quantile(NegativeBinomial c, double p) {
  std::int64_t below = -1;
  std::int64_t at = 0;
  constexpr std::int64_t most = std::int64_t{1} << 52;
  while (at < most && probability_up_to(c, at) < p) {
    below = at;
    at = at == 0 ? 1 : 2 * at;
  }
  while (at - below > 1) {
    const std::int64_t middle = below + (at - below) / 2;
    (probability_up_to(c, middle) < p ? below : at) = middle;
  }
  return at;
}

std::optional<NegativeBinomial> most_likely(std::span<const std::int64_t> counts) {
  if (counts.empty()) return std::nullopt;
  std::vector<std::int64_t> sorted{counts.begin(), counts.end()};
  std::sort(sorted.begin(), sorted.end());
  if (sorted.front() < 0) return std::nullopt;
  const auto n = static_cast<double>(sorted.size());
  double sum = 0.0;
  for (const std::int64_t count : sorted) sum += static_cast<double>(count);
  const double mean = sum / n;
  double squares = 0.0;
  for (const std::int64_t count : sorted) squares += (static_cast<double>(count) - mean) * (static_cast<double>(count) - mean);
  if (!(squares > sum)) return NegativeBinomial{mean, std::numeric_limits<double>::infinity()};
  // Falls through 0 once: positive for small k, negative beyond the answer.
  const auto slope = [&](double k) {
    double value = -n * num::log1p(mean / k);
    std::size_t not_above = 0;
    for (std::int64_t x = 0; x < sorted.back(); ++x) {
      while (sorted[not_above] <= x) ++not_above;
      value += static_cast<double>(sorted.size() - not_above) / (k + static_cast<double>(x));
    }
    return value;
  };
  double low = -30.0;
  double high = 1.0;
  while (high < 30.0 && slope(num::exp(high)) > 0.0) high += 1.0;
  for (int i = 0; i < 100 && high - low > 1e-13; ++i) {
    const double middle = 0.5 * (low + high);
    (slope(num::exp(middle)) > 0.0 ? low : high) = middle;
  }
  return NegativeBinomial{mean, num::exp(0.5 * (low + high))};
}

}  // namespace leafturn::population
