#pragma once
/// The small pieces a particle filter is made of: weights, how many particles still count, resampling, and a parameter cloud that is moved
/// without growing. Sums follow a fixed tree, so that the same numbers give the same bytes on any number of threads. Nothing allocates.
///
/// Sources, from memory, each checked in tests/population: effective size, Kong, Liu & Wong 1994 (J. Am. Stat. Assoc. 89:278–288);
/// systematic resampling, Kitagawa 1996 (J. Comput. Graph. Stat. 5:1–25); shrinking, Liu & West 2001 (in Doucet, de Freitas & Gordon,
/// Sequential Monte Carlo Methods in Practice).

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace leafturn::population {

/// Elements of one leaf of the tree of sums.
inline constexpr std::size_t sum_block = 256;

/// Sum by the fixed tree: leaves of `sum_block` elements, joined in pairs. 0 for none.
double tree_sum(std::span<const double> x);
/// The same tree from its leaves: `tree_sum(x)` is `join_blocks` of the `tree_sum` of each block of `sum_block` elements of x (the last
/// may be shorter), whoever summed the blocks and in which order.
double join_blocks(std::span<const double> block_sums);

/// log Σ e^x without overflow; −∞ for none.
double log_sum_exp(std::span<const double> x);

/// Weights with sum 1 from their logarithms, and log Σ e^x. −∞ is an impossible particle. Nothing, and `weights` as it was, when all are
/// impossible or one is NaN or +∞. `weights` has the size of `log_weights` and may be the same memory.
std::optional<double> normalise(std::span<const double> log_weights, std::span<double> weights);

/// How many equally weighted particles say as much (Σw)² / Σw²: from 1 to n. 0 when no weight is above 0.
double effective_size(std::span<const double> weights);
/// The same by entropy, exp(−Σ w log w) of weights with sum 1; never below `effective_size`.
double entropy_size(std::span<const double> weights);

/// Systematic resampling: for i = 0 … n−1 the first particle whose cumulative weight reaches (u0 + i)/n, with n the size of `picked` and
/// 0 ≤ u0 < 1. Weights need no sum 1. Each is picked ⌊n·w⌋ or ⌈n·w⌉ times, in rising order, and never one with weight 0. False, and
/// `picked` as it was, when no weight is above 0.
bool resample(std::span<const double> weights, double u0, std::span<std::uint32_t> picked);

/// How a cloud of parameters is moved: x → shrink·x + (1 − shrink)·mean + √kernel_variance·sd·z. As shrink² + kernel_variance = 1, mean and
/// variance stay in expectation over z.
struct Shrinkage {
  double shrink = 1.0;
  double kernel_variance = 0.0;
};
/// Liu & West's constants of a discount δ, 1/3 < δ ≤ 1 (0.95–0.99 is usual): shrink (3δ − 1)/(2δ). δ outside is taken as 1: nothing moves.
Shrinkage liu_west(double discount);

struct Moments {
  double mean = 0.0;
  double variance = 0.0;  ///< divided by the sum of weights
};
/// Weighted; `weights` empty means equal ones.
Moments moments(std::span<const double> values, std::span<const double> weights);
Moments moments(std::span<const float> values, std::span<const double> weights);

/// Moves one parameter of the cloud; `normals` are independent standard normal draws, one each. Sums are formed in double.
void shrink_and_jitter(std::span<double> values, std::span<const double> weights, Shrinkage how, std::span<const double> normals);
void shrink_and_jitter(std::span<float> values, std::span<const double> weights, Shrinkage how, std::span<const double> normals);

}  // namespace leafturn::population
