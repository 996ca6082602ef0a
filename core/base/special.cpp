#include "core/base/special.hpp"

#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::num {
namespace {

constexpr double small = 1e-16;

double by_series(double shape, double x) {
  double term = 1.0 / shape;
  double sum = term;
  for (double n = shape + 1.0; term > sum * small; n += 1.0) {
    term *= x / n;
    sum += term;
  }
  return sum * exp(shape * log(x) - x - log_gamma(shape));
}

// Modified Lentz evaluation of the continued fraction of the upper function.
double upper_by_fraction(double shape, double x) {
  constexpr double tiny = 1e-300;
  double b = x + 1.0 - shape;
  double c = 1.0 / tiny;
  double d = 1.0 / b;
  double h = d;
  for (int i = 1; i <= 10'000; ++i) {
    const double a = -i * (i - shape);
    b += 2.0;
    d = a * d + b;
    if (std::abs(d) < tiny) d = tiny;
    c = b + a / c;
    if (std::abs(c) < tiny) c = tiny;
    d = 1.0 / d;
    const double change = d * c;
    h *= change;
    if (std::abs(change - 1.0) < small * 4) break;
  }
  return h * exp(shape * log(x) - x - log_gamma(shape));
}

}  // namespace

double gamma_cdf(double shape, double x) {
  if (!(x > 0.0)) return 0.0;
  return x < shape + 1.0 ? by_series(shape, x) : 1.0 - upper_by_fraction(shape, x);
}

double gamma_quantile(double shape, double p) {
  double low = -745.0;  // of log x: below this x underflows and the answer is 0
  double high = log(shape + 1.0) + 6.0;
  while (gamma_cdf(shape, exp(high)) < p) high += 2.0;
  for (int i = 0; i < 200 && high - low > 1e-11; ++i) {
    const double middle = 0.5 * (low + high);
    if (gamma_cdf(shape, exp(middle)) < p) {
      low = middle;
    } else {
      high = middle;
    }
  }
  return exp(0.5 * (low + high));
}

// Modified Lentz evaluation.
double beta_fraction(double a, double b, double x) {
  constexpr double tiny = 1e-300;
  const auto off_zero = [](double v) { return std::abs(v) < tiny ? tiny : v; };
  double c = 1.0;
  double d = 1.0 / off_zero(1.0 - (a + b) * x / (a + 1.0));
  double h = d;
  for (double m = 1.0; m < 1e5; m += 1.0) {
    const double even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
    d = 1.0 / off_zero(1.0 + even * d);
    c = off_zero(1.0 + even / c);
    h *= d * c;
    const double odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
    d = 1.0 / off_zero(1.0 + odd * d);
    c = off_zero(1.0 + odd / c);
    const double change = d * c;
    h *= change;
    if (std::abs(change - 1.0) < small * 4) break;
  }
  return h;
}

double beta_cdf(double a, double b, double x) {
  if (!(x > 0.0)) return 0.0;
  if (!(x < 1.0)) return 1.0;
  const double front = exp(log_gamma(a + b) - log_gamma(a) - log_gamma(b) + a * log(x) + b * log1p(-x));
  if (x < (a + 1.0) / (a + b + 2.0)) return front * beta_fraction(a, b, x) / a;
  return 1.0 - front * beta_fraction(b, a, 1.0 - x) / b;
}

double beta_quantile(double a, double b, double p) {
  double low = 0.0;
  double high = 1.0;
  for (int i = 0; i < 60 && high - low > 1e-13; ++i) {
    const double middle = 0.5 * (low + high);
    (beta_cdf(a, b, middle) < p ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace leafturn::num
