#pragma once
/// The normal distribution.

namespace leafturn::num {

/// Share of a standard normal below `z`. Absolute error below 1e-14; 0 below −9, 1 above 9; NaN for NaN.
/// Series of Marsaglia 2004 (J. Stat. Softw. 11(4)), from memory; checked in tests/phenology against quadrature of the density.
double normal_cdf(double z);

}  // namespace leafturn::num
