#include "core/phenology/fit_least_squares.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "core/base/elementary.hpp"

namespace leafturn::phenology {
namespace {

double sum_of_squares(const std::vector<double>& v) {
  double sum = 0.0;
  for (const double x : v) sum += x * x;
  return sum;
}

// Step for differences: small beside the parameter, but never nothing.
double nudge(double parameter) { return 1e-6 * std::max(std::abs(parameter), 1e-4); }

// Householder's QR of `a` (rows × columns, row by row) in place: R above the diagonal, its diagonal in `diagonal`; `b` becomes Qᵀb.
void factorise(std::vector<double>& a, std::size_t rows, std::size_t columns, std::vector<double>& diagonal, std::vector<double>* b) {
  diagonal.assign(columns, 0.0);
  for (std::size_t c = 0; c < columns; ++c) {
    double norm = 0.0;
    for (std::size_t r = c; r < rows; ++r) norm += a[r * columns + c] * a[r * columns + c];
    norm = num::sqrt(norm);
    if (!(norm > 0.0)) continue;
    if (a[c * columns + c] > 0.0) norm = -norm;
    // v = column − norm·e; H = 1 − 2vvᵀ/vᵀv.
    a[c * columns + c] -= norm;
    double vv = 0.0;
    for (std::size_t r = c; r < rows; ++r) vv += a[r * columns + c] * a[r * columns + c];
    const auto reflect = [&](auto&& at) {
      double dot = 0.0;
      for (std::size_t r = c; r < rows; ++r) dot += a[r * columns + c] * at(r);
      for (std::size_t r = c; r < rows; ++r) at(r) -= 2.0 * dot / vv * a[r * columns + c];
    };
    for (std::size_t k = c + 1; k < columns; ++k) reflect([&](std::size_t r) -> double& { return a[r * columns + k]; });
    if (b != nullptr) reflect([&](std::size_t r) -> double& { return (*b)[r]; });
    diagonal[c] = norm;
  }
}

// Solves R·x = the head of `b`; nothing when R is singular.
std::optional<std::vector<double>> back_substitute(const std::vector<double>& a, std::size_t columns, const std::vector<double>& diagonal,
                                                   const std::vector<double>& b) {
  std::vector<double> x(columns, 0.0);
  for (std::size_t i = columns; i-- > 0;) {
    double rest = b[i];
    for (std::size_t k = i + 1; k < columns; ++k) rest -= a[i * columns + k] * x[k];
    if (!(std::abs(diagonal[i]) > 0.0)) return std::nullopt;
    x[i] = rest / diagonal[i];
  }
  return x;
}

std::vector<double> column_lengths(const std::vector<double>& j, std::size_t rows, std::size_t columns) {
  std::vector<double> lengths(columns, 0.0);
  for (std::size_t c = 0; c < columns; ++c) {
    for (std::size_t r = 0; r < rows; ++r) lengths[c] += j[r * columns + c] * j[r * columns + c];
    lengths[c] = num::sqrt(lengths[c]);
  }
  return lengths;
}

// The step that minimises |J·s + r|² + damping·|D·s|².
std::optional<std::vector<double>> damped_step(const std::vector<double>& j, const std::vector<double>& residuals, std::size_t columns,
                                               const std::vector<double>& scale, double damping) {
  const std::size_t rows = residuals.size();
  std::vector<double> a(j);
  a.resize((rows + columns) * columns, 0.0);
  std::vector<double> b(rows + columns, 0.0);
  for (std::size_t r = 0; r < rows; ++r) b[r] = -residuals[r];
  for (std::size_t c = 0; c < columns; ++c) a[(rows + c) * columns + c] = num::sqrt(damping) * scale[c];
  std::vector<double> diagonal;
  factorise(a, rows + columns, columns, diagonal, &b);
  return back_substitute(a, columns, diagonal, b);
}

}  // namespace

std::vector<double> jacobian(const Residuals& residuals, const std::vector<double>& parameters, std::size_t rows) {
  const std::size_t columns = parameters.size();
  std::vector<double> out(rows * columns, 0.0);
  for (std::size_t c = 0; c < columns; ++c) {
    auto shifted = parameters;
    const double h = nudge(parameters[c]);
    shifted[c] = parameters[c] + h;
    auto above = residuals(shifted);
    double width = shifted[c];
    shifted[c] = parameters[c] - h;
    auto below = residuals(shifted);
    // At the edge of what is allowed, one side has to do.
    if (!above || !below) {
      const auto here = residuals(parameters);
      if (!here) return out;
      if (!above) {
        above = here;
        width = parameters[c];
      }
      if (!below) {
        below = here;
        shifted[c] = parameters[c];
      }
    }
    width -= shifted[c];
    if (!(width > 0.0)) continue;
    for (std::size_t r = 0; r < rows; ++r) out[r * columns + c] = ((*above)[r] - (*below)[r]) / width;
  }
  return out;
}

std::optional<LeastSquares> least_squares(const Residuals& residuals, std::vector<double> start, int most_steps) {
  auto now = residuals(start);
  if (!now) return std::nullopt;
  LeastSquares out{std::move(start), sum_of_squares(*now), false};
  const std::size_t columns = out.parameters.size();
  double damping = 1e-3;
  std::vector<double> scale(columns, 0.0);
  int idle = 0;
  for (int step = 0; step < most_steps && !out.converged; ++step) {
    const auto j = jacobian(residuals, out.parameters, now->size());
    const auto lengths = column_lengths(j, now->size(), columns);
    for (std::size_t c = 0; c < columns; ++c) scale[c] = std::max({scale[c] * 0.5, lengths[c], 1e-300});
    bool moved = false;
    while (!moved && damping < 1e12) {
      const auto shift = damped_step(j, *now, columns, scale, damping);
      auto next = out.parameters;
      if (shift)
        for (std::size_t c = 0; c < columns; ++c) next[c] += (*shift)[c];
      const auto then = shift ? residuals(next) : std::nullopt;
      const double sum = then ? sum_of_squares(*then) : 0.0;
      if (then && sum < out.sum) {
        // Convergence is judged where steps are long: with heavy damping every step gains little.
        const bool small = out.sum - sum <= 1e-14 * out.sum && damping < 1.0;
        idle = small ? idle + 1 : 0;
        out.parameters = next;
        out.sum = sum;
        now = then;
        damping = std::max(damping * 0.1, 1e-12);
        moved = true;
      } else {
        damping *= 4.0;
      }
    }
    out.converged = !moved || idle >= 2 || !(out.sum > 0.0);
    if (!moved) break;
  }
  return out;
}

std::optional<std::vector<double>> inverse_of_normal(std::vector<double> j, std::size_t rows, std::size_t columns) {
  const auto lengths = column_lengths(j, rows, columns);
  for (std::size_t c = 0; c < columns; ++c) {
    if (!(lengths[c] > 0.0) || !(lengths[c] < 1e300)) return std::nullopt;
    for (std::size_t r = 0; r < rows; ++r) j[r * columns + c] /= lengths[c];
  }
  if (rows < columns) return std::nullopt;
  std::vector<double> diagonal;
  factorise(j, rows, columns, diagonal, nullptr);
  for (const double d : diagonal)
    if (!(std::abs(d) > 1e-12)) return std::nullopt;
  // Columns of R⁻¹, then R⁻¹·R⁻ᵀ, back in the parameters' own units.
  std::vector<double> inverse(columns * columns, 0.0);
  for (std::size_t c = 0; c < columns; ++c) {
    std::vector<double> unit(columns, 0.0);
    unit[c] = 1.0;
    const auto x = back_substitute(j, columns, diagonal, unit);
    if (!x) return std::nullopt;
    for (std::size_t r = 0; r < columns; ++r) inverse[r * columns + c] = (*x)[r];
  }
  std::vector<double> out(columns * columns, 0.0);
  for (std::size_t a = 0; a < columns; ++a)
    for (std::size_t b = 0; b < columns; ++b) {
      double sum = 0.0;
      for (std::size_t k = 0; k < columns; ++k) sum += inverse[a * columns + k] * inverse[b * columns + k];
      out[a * columns + b] = sum / (lengths[a] * lengths[b]);
    }
  return out;
}

double student_two_sided(int freedom, double share) {
  const auto inside = [&](double t) {
    const double cosine2 = freedom / (freedom + t * t);
    const double sine = t / num::sqrt(freedom + t * t);
    double term = 1.0;
    double sum = 1.0;
    const bool odd = freedom % 2 == 1;
    for (int i = odd ? 3 : 2; i <= freedom - 2; i += 2) {
      term *= cosine2 * (i - 1.0) / i;
      sum += term;
    }
    if (!odd) return sine * sum;
    const double angle = num::atan(t / num::sqrt(freedom));
    return 2.0 / num::pi * (angle + (freedom > 1 ? sine * num::sqrt(cosine2) * sum : 0.0));
  };
  double low = 0.0;
  double high = 1.0;
  while (inside(high) < share && high < 1e9) high *= 2.0;
  for (int i = 0; i < 100; ++i) {
    const double middle = 0.5 * (low + high);
    (inside(middle) < share ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace leafturn::phenology
