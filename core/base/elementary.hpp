#pragma once
/// Elementary functions that give the same bits on every CPU and compiler. The C library picks its version by CPU, so
/// the last bit of `std::exp` may differ between two machines; results kept in a ledger or compared in a test may not.
/// Built from +, −, ×, ÷ and square root only (IEEE 754 fixes those), compiled with -ffp-contract=off.
///
/// Maximum error over the whole domain is stated per function and checked in tests/base against long double; results at
/// special points (0, ±∞, NaN, domain edges) follow ISO C annex F. Sine, cosine and tangent of more than 1e15 are NaN.

#include <cstdint>

namespace leafturn::num {

inline constexpr double pi = 3.14159265358979323846;

double exp(double x);              ///< 1 ulp; overflow to +∞ above 709.78, underflow to 0 below −745.13
double log(double x);              ///< 1 ulp; −∞ at 0, NaN below
double log1p(double x);            ///< 2 ulp
double expm1(double x);            ///< 2 ulp
double pow(double x, double y);    ///< 2e-13 relative for x > 0; x ≤ 0 only for whole y
double sqrt(double x);             ///< exact (correctly rounded)
double sin(double x);              ///< 2 ulp for |x| ≤ 1e5
double cos(double x);              ///< 2 ulp for |x| ≤ 1e5
double tan(double x);              ///< 4 ulp for |x| ≤ 1e5
double asin(double x);             ///< 2 ulp; NaN outside [−1, 1]
double acos(double x);             ///< 2 ulp; NaN outside [−1, 1]
double atan(double x);             ///< 2 ulp
double atan2(double y, double x);  ///< 4 ulp
double log_gamma(double x);        ///< 1e-13 relative for x > 0; +∞ at 0, NaN below

/// The one place where two doubles may be compared exactly (values that were stored, not computed).
bool exactly_equal(double a, double b);
/// A NaN test that survives any flags.
bool is_nan(double x);

}  // namespace leafturn::num
