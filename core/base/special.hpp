#pragma once
/// Distribution functions needed by estimates. Deterministic like elementary.hpp.

namespace leafturn::num {

/// Regularised lower incomplete gamma function P(shape, x), the distribution function of a gamma variable with scale 1.
/// shape > 0, x ≥ 0. Absolute error below 1e-10. Series below shape + 1, Lentz's continued fraction above
/// (Abramowitz & Stegun 6.5.29 and 6.5.31, from memory); checked against SciPy's values in tests/base.
double gamma_cdf(double shape, double x);

/// The x with gamma_cdf(shape, x) = p, 0 < p < 1. Relative error below 1e-9, by bisection on the logarithm.
double gamma_quantile(double shape, double p);

/// Regularised incomplete beta function I_x(a, b), the distribution function of a beta variable. a, b > 0; 0 below x = 0, 1 above x = 1.
/// Absolute error below 1e-10 for a + b up to 1e5. Lentz's continued fraction (Abramowitz & Stegun 26.5.8, from memory).
double beta_cdf(double a, double b, double x);
/// The continued fraction alone, for those whose factor before it is known otherwise: I_x(a, b) = x^a·(1 − x)^b/(a·B(a, b))·fraction.
/// Converges fast where x < (a + 1)/(a + b + 2).
double beta_fraction(double a, double b, double x);
/// The x with beta_cdf(a, b, x) = p, 0 < p < 1. Absolute error below 1e-12, by bisection.
double beta_quantile(double a, double b, double p);

}  // namespace leafturn::num
