#pragma once
/// Least squares of a few parameters: what fit.cpp stands on.

#include <functional>
#include <optional>
#include <vector>

namespace leafturn::phenology {

/// Residuals at some parameters; nothing where the parameters are not allowed.
using Residuals = std::function<std::optional<std::vector<double>>(const std::vector<double>& parameters)>;

struct LeastSquares {
  std::vector<double> parameters;
  double sum = 0.0;        ///< of squares
  bool converged = false;  ///< no step of any length makes the sum smaller by more than a 1e-14th
};

/// Levenberg–Marquardt with Marquardt's scaling, derivatives by central differences, each step solved by Householder's QR of the augmented
/// Jacobian, so that its condition is not squared. Nothing when `start` isn't allowed.
std::optional<LeastSquares> least_squares(const Residuals& residuals, std::vector<double> start, int most_steps);

/// Derivatives of each residual (rows) by each parameter (columns), row by row.
std::vector<double> jacobian(const Residuals& residuals, const std::vector<double>& parameters, std::size_t rows);

/// (JᵀJ)⁻¹, row by row; nothing when the columns are dependent to within 1e-12 of their length.
std::optional<std::vector<double>> inverse_of_normal(std::vector<double> jacobian, std::size_t rows, std::size_t columns);

/// The t with P(|Student's t of `freedom` degrees| ≤ t) = `share`; freedom ≥ 1. By bisection on Abramowitz & Stegun 26.7.3–4 (from memory;
/// checked against SciPy in tests/phenology).
double student_two_sided(int freedom, double share);

}  // namespace leafturn::phenology
