#pragma once
/// Development of the chains in one future's weather, in steps of three hours: hourly temperatures, rates summed over the step.

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "core/base/date.hpp"
#include "core/population/life.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::population {

inline constexpr int steps_a_day = 8;

/// The chance of passing 0, 1, 2 or 3 substages in one pass of a step.
using Taps = std::array<float, 4>;

/// One step of three hours. Where a stage would pass more than `most_passed` substages in it, it is run in several equal passes.
struct Step {
  std::vector<Taps> taps;   ///< [stage]
  std::vector<float> aged;  ///< [stage] share of the stage's whole development done in one pass
  int passes = 1;
};

/// Substages passed in one pass at most. The taps agree with the Poisson distribution of the exact chain in their first three moments; at
/// this size the fourth is off by less than the tests' 0.5 % of a stage's distribution function.
inline constexpr double most_passed = 0.6;

/// Day by day from `first`; days without weather have no development (`missing`).
struct StepTable {
  Date first;
  std::vector<Step> steps;    ///< [day·steps_a_day + step]
  std::vector<bool> missing;  ///< [day]
  std::span<const Step> day(Date d) const;
};

/// `air`: one future; air or soil as each stage feels it. Days from `from` to `to` inclusive.
StepTable steps_of(const Life& life, const weather::HourlySeries& air, Date from, Date to);

}  // namespace leafturn::population
