#pragma once
/// The distribution of a count: negative binomial by its mean and k.

#include <cstdint>
#include <optional>
#include <span>

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

/// The most likely mean and k of counts: the mean of the counts and the k that solves Σ_x A_x/(k + x) = n·ln(1 + mean/k), with A_x the
/// number of counts above x (Bliss & Fisher 1953, Biometrics 9:176–200, from memory), to 1e-12 relative. k is +∞ when the counts vary no
/// more than Poisson ones. Nothing for no counts, or one below 0.
std::optional<NegativeBinomial> most_likely(std::span<const std::int64_t> counts);

}  // namespace leafturn::population
