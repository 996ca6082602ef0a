#pragma once
/// Development of the chains in one future's weather. Hourly temperatures become steps of three hours (rates summed hour by hour); a run of
/// steps between two things that happen becomes as few passes of the kernel as its error allows.

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "core/base/date.hpp"
#include "core/population/life.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::population {

inline constexpr int steps_a_day = 8;

/// One step of three hours.
struct Step {
  std::vector<float> passed;  ///< [stage] substages passed on average: substages × share of the stage's development done
};

/// Day by day from `first`; days without weather have no development (`missing`).
struct StepTable {
  Date first;
  std::vector<Step> steps;                  ///< [day·steps_a_day + step]
  std::vector<bool> missing;                ///< [day]
  std::span<const Step> day(Date d) const;  ///< its eight steps; empty outside the table
};

/// `air`: one future; air or soil as each stage feels it. Days from `from` to `to` inclusive.
StepTable steps_of(const Life& life, const weather::HourlySeries& air, Date from, Date to);

/// What one pass does to a chain whose substages are left at λ_i a pass: x' = (I − A/3)⁻¹(I + 2A/3 + A²/6)·x, the Padé approximant (2, 1)
/// of exp(A), A the chain's matrix (−λ_i on the diagonal, λ_i below it); its form from memory (Padé 1892; Hairer & Wanner, Solving Ordinary
/// Differential Equations II, IV.3). Substages passed agree with the Poisson distribution of the exact chain in mean, variance and
/// skewness, also across the boundary of two stages; for λ ≤ 2 nothing can become negative. By substage:
/// x'(i) = stay·x(i) + one·x(i − 1) + two·x(i − 2) + on·x'(i − 1).
struct StagePass {
  float stay = 1.0F, one = 0.0F, two = 0.0F, on = 0.0F;       ///< inside the stage
  float enter_one = 0.0F, enter_two = 0.0F, enter_on = 0.0F;  ///< into its first substage, from the stages before
  float second_two = 0.0F;                                    ///< into its second substage, from the stage before
};

struct Pass {
  std::vector<StagePass> stages;
  float days = 0.0F;           ///< its length
  float aged = 0.0F;           ///< share of the laying stage's whole development done
  float newborn_ahead = 0.0F;  ///< of the young of the pass, the share that is in the second substage at its end
  float left_one = 0.0F, left_two = 0.0F, left_on = 0.0F;  ///< what leaves Life::rest_decided, of x(last), x(last − 1), x'(last)
};

/// Consecutive steps, run together.
struct Run {
  float days = 0.0F;
  std::vector<Pass> passes;  ///< at least one
};

/// Substages of a stage of k that are passed in one pass at most: (k/3)^(1/3), and 2. Then the fourth moment, the first that is off, moves
/// a stage's distribution function by less than 0.3 %.
double most_passed(std::size_t substages);

/// The steps of a run may be any part of a day, or several days: what is in a bed between them is never looked at.
Run run_of(const Life& life, std::span<const Step> steps);

}  // namespace leafturn::population
