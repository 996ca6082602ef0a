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

}  // namespace leafturn::num
