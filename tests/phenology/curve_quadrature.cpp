#include "tests/phenology/curve_quadrature.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

namespace leafturn::test {
namespace {

constexpr int points = 64;
constexpr double pi = 3.14159265358979323846;

// Roots of the Legendre polynomial by Newton from Tricomi's starting values.
std::array<std::pair<double, double>, points> make_nodes() {
  std::array<std::pair<double, double>, points> nodes;
  for (int i = 0; i < points; ++i) {
    double x = std::cos(pi * (i + 0.75) / (points + 0.5));
    double slope = 1.0;
    for (int step = 0; step < 50; ++step) {
      double p0 = 1.0;
      double p1 = x;
      for (int n = 2; n <= points; ++n) {
        const double p2 = ((2 * n - 1) * x * p1 - (n - 1) * p0) / n;
        p0 = p1;
        p1 = p2;
      }
      slope = points * (x * p1 - p0) / (x * x - 1.0);
      const double dx = p1 / slope;
      x -= dx;
      if (std::abs(dx) < 1e-16) break;
    }
    nodes[static_cast<std::size_t>(i)] = {x, 2.0 / ((1.0 - x * x) * slope * slope)};
  }
  return nodes;
}

double rate(double t, const CurveDay& day, AboveUpper cutoff) {
  if (t <= day.lower) return 0.0;
  if (cutoff == AboveUpper::none || t <= day.upper) return t - day.lower;
  if (cutoff == AboveUpper::flat) return day.upper - day.lower;
  if (cutoff == AboveUpper::falling) return (day.upper - day.lower) - (t - day.upper);
  return 0.0;
}

// Where a rising curve on [0, 1] passes `level`, by bisection.
double crossing(const std::function<double(double)>& curve, double level) {
  double a = 0.0;
  double b = 1.0;
  for (int i = 0; i < 200 && a < b; ++i) {
    const double middle = 0.5 * (a + b);
    (curve(middle) < level ? a : b) = middle;
  }
  return 0.5 * (a + b);
}

// A half-day rising from `min` to `max`; the fall is its mirror image and has the same integral.
double half_day(double min, const CurveDay& day, CurveShape shape, AboveUpper cutoff) {
  const double middle = 0.5 * (min + day.max);
  const double swing = 0.5 * (day.max - min);
  const std::function<double(double)> curve = [&](double x) {
    return shape == CurveShape::sine ? middle + swing * std::sin(pi * (x - 0.5)) : min + (day.max - min) * x;
  };
  std::vector<double> cuts{0.0, 1.0};
  for (const double level : {day.lower, day.upper})
    if (level > min && level < day.max) cuts.push_back(crossing(curve, level));
  std::sort(cuts.begin(), cuts.end());
  double total = 0.0;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i)
    total += gauss_legendre([&](double x) { return rate(curve(x), day, cutoff); }, cuts[i], cuts[i + 1]);
  return total;
}

}  // namespace

double gauss_legendre(const std::function<double(double)>& g, double a, double b) {
  static const auto nodes = make_nodes();
  double sum = 0.0;
  for (const auto& [x, w] : nodes) sum += w * g(0.5 * (a + b) + 0.5 * (b - a) * x);
  return 0.5 * (b - a) * sum;
}

double integrate_day(const CurveDay& day, CurveShape shape, bool halves, AboveUpper cutoff) {
  const double rising = half_day(day.min, day, shape, cutoff);
  if (!halves) return rising;
  return 0.5 * (rising + half_day(std::min(day.next_min, day.max), day, shape, cutoff));
}

}  // namespace leafturn::test
