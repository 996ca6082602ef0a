#pragma once
/// What share of a stage's individuals a person finds. Counts alone can't tell many hidden from few seen; two people counting the same
/// plants can, by how far apart they are.
///
/// Of N individuals each person finds c ~ Binomial(N, p) on their own, so the two differ by about 2·N·p·(1 − p): not at all when all are
/// found, as two independent draws when hardly any are. How many there were is unknown, with chance ∝ 1/N (any order of magnitude alike).
/// The total c1 + c2 then tells nothing of p, and is not used: p is learned from how the total falls to the two, Σ_N 1/N·Bin(c1; N,
/// p)·Bin(c2; N, p) / Σ_N 1/N·Bin(c1 + c2; 2N, p). Derived here; tests/population recovers known shares.
///
/// One pair says little, however many were counted: in simulated gardens a prior of 0.55 ± 0.18 was down to ± 0.15 after 5 pairs, ± 0.08 to
/// 0.13 after 25. And it is the share of those that can be found at all: individuals hidden from everybody, in a bud or in the soil, are
/// missed by both alike, and p is then too high.

#include <array>
#include <cstdint>
#include <optional>

namespace leafturn::population {

inline constexpr int fewest_paired_plants = 20;

/// Two people's counts of one stage on the same plants, made apart from each other.
struct PairedCount {
  std::int64_t first = 0;
  std::int64_t second = 0;
  int plants = 0;
};

/// Logarithm of the chance above; 0 when neither found any. 0 < p < 1, counts ≥ 0.
double log_chance_of_split(std::int64_t first, std::int64_t second, double p);

/// What is believed of the share found, on a grid of 200 equal steps.
class Detection {
 public:
  /// Before anything is paired: beta with this mean and standard deviation. Nothing unless 0 < mean < 1 and 0 < sd² < mean·(1 − mean).
  static std::optional<Detection> of(double mean, double sd);
  /// False, and nothing changed, for fewer than 20 plants, a count below 0, or when neither found any.
  bool learn(const PairedCount& pair);

  double mean() const;
  double sd() const;
  double quantile(double level) const;  ///< 0 ≤ level ≤ 1
  /// Variance below 80 % of what it was before: else the share was not learned here.
  bool learned() const;

 private:
  static constexpr std::size_t steps = 200;
  static double share(std::size_t i) { return (static_cast<double>(i) + 0.5) / static_cast<double>(steps); }
  Detection() = default;
  std::array<double, steps> log_belief_{};
  std::array<double, steps> belief_{};  ///< sums to 1
  double first_sd_ = 0.0;
};

}  // namespace leafturn::population
