#pragma once
/// The day's curve integrated from its statement alone: no arcsine, no case list, nothing shared with core/phenology.

#include <functional>

namespace leafturn::test {

struct CurveDay {
  double min, max, next_min;  ///< °C
  double lower, upper;        ///< °C; upper = +∞ for none
};
enum class CurveShape { sine, triangle };
enum class AboveUpper { flat, falling, zero, none };

/// Mean over the day of the piecewise-linear rate along the stated curve. `halves`: the second half-day falls to `next_min`.
double integrate_day(const CurveDay& day, CurveShape shape, bool halves, AboveUpper cutoff);

/// ∫ g from a to b, 64-point Gauss–Legendre.
double gauss_legendre(const std::function<double(double)>& g, double a, double b);

}  // namespace leafturn::test
