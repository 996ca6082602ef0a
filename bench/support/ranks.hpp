#pragma once
/// Simulation-based calibration: truths drawn from the prior, data from the truths, and where each truth ranks among draws of its
/// posterior. A right posterior makes all ranks alike (Talts, Betancourt, Simpson, Vehtari & Gelman 2018, arXiv 1804.06788, from memory).

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace leafturn::bench {

/// Number of draws below the truth; draws equal to it count as below by chance, with u uniform in [0, 1).
std::size_t rank_among(double truth, std::span<const double> draws, double u);
/// The same of weighed draws: a rank from 0 to `draws` by the weight below the truth.
std::size_t rank_by_weight(double truth, std::span<const double> values, std::span<const double> weights, std::size_t draws, double u);

class RankHistogram {
 public:
  /// Ranks 0 … draws in so many bins, as even as can be. draws ≥ 1, 2 ≤ bins ≤ draws + 1.
  RankHistogram(std::size_t draws, std::size_t bins);
  void add(std::size_t rank);

  const std::vector<std::int64_t>& counts() const { return counts_; }
  std::int64_t total() const { return total_; }
  double chi_square() const;
  /// Chance of a chi-square as large or larger when all ranks are alike; trust it from five ranks a bin on.
  double p_value() const;
  /// Standard normal when all ranks are alike. Above 0: truths lie above their draws, so draws are too low.
  double bias_z() const;
  /// Standard normal when all ranks are alike. Above 0: truths lie at the ends, so draws are too close together; below 0: too far apart.
  double spread_z() const;

 private:
  std::size_t bin_of(std::size_t rank) const;
  std::size_t draws_;
  std::vector<std::int64_t> counts_;
  std::vector<double> share_;  ///< of all ranks, by bin
  std::int64_t total_ = 0;
  double first_ = 0.0, second_ = 0.0;  ///< sums of the first two Legendre polynomials of the ranks
};

}  // namespace leafturn::bench
