#pragma once
/// The distribution of a count: negative binomial by its mean and k.

#include <cstdint>

namespace leafturn::population {

/// Variance mean + mean²/k. k = +∞ is Poisson. mean ≥ 0, k > 0.
struct NegativeBinomial {
  double mean = 0.0;
  double k = 1.0;
};

double variance(NegativeBinomial counts);
/// Logarithm of the probability of exactly n; −∞ for n < 0. Error below 1e-11 for any k, also where log-gamma functions would cancel:
/// by deviances and Stirling's remainder (Loader 2000, "Fast and accurate computation of binomial probabilities", from memory).
double log_probability(NegativeBinomial counts, std::int64_t n);
double probability(NegativeBinomial counts, std::int64_t n);
/// Probability of n or fewer; 0 for n < 0. Absolute error below 1e-11 for counts and means up to 1e7. The work grows with the square root
/// of the larger of n and k.
double probability_up_to(NegativeBinomial counts, std::int64_t n);
/// The least n with `probability_up_to` ≥ p; 0 ≤ p < 1. By bisection.
std::int64_t quantile(NegativeBinomial counts, double p);

}  // namespace leafturn::population
