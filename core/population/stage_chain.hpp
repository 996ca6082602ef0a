#pragma once
/// How fast a chain of stages with spread durations and deaths grows while nothing changes: the closed form of what the model integrates.
/// It checks the model, and it gives the mortality that goes with a known net reproduction.
///
/// A stage is a chain of k equal substages, each left at rate k/days and died from at rate deaths_per_day, so a share
/// ∫ e^(−s·a)·density(a) da = (1 + s·days/k)^(−k) with s = r + deaths passes it, discounted by growth r. The last stage lays `young` evenly
/// over its ageing, young/days each day while alive in it: discounted
/// young/days · ∫ e^(−s·a)·P(still in the stage at a) da = young/k · Σ_{j=1…k} (1 + s·days/k)^(−j), which is `young` at s = 0.
/// Their product φ(r) falls with r; φ(0) is the net reproduction and φ(r) = 1 gives the growth rate. Derived here from the chain
/// (Manetsch 1976) and Lotka's equation; tests/population integrates the chain and finds the same.

#include <optional>
#include <span>

namespace leafturn::population {

/// Durations and deaths at one constant temperature. days > 0, substages ≥ 1.
struct ChainStage {
  double days = 0.0;  ///< mean time through the stage of one that doesn't die
  int substages = 1;
  double deaths_per_day = 0.0;
};

struct LayingStage {
  ChainStage life;     ///< from the first young to the end of life by age
  double young = 0.0;  ///< female young of a female that lives to the end of it
};

/// φ(growth) above. φ(0) is the net reproduction R0. +∞ below the growth at which a stage's sum stops converging.
double discounted_reproduction(std::span<const ChainStage> stages, const LayingStage& laying, double growth_per_day);

/// r per day, to 1e-13. Nothing when no young are laid.
std::optional<double> growth_per_day(std::span<const ChainStage> stages, const LayingStage& laying);

/// The deaths per day that, added to those of every stage alike, leave this net reproduction; below 0 when the stages' own deaths leave
/// less already. Nothing when no young are laid or `net_reproduction` isn't above 0.
std::optional<double> added_deaths_per_day(std::span<const ChainStage> stages, const LayingStage& laying, double net_reproduction);

/// Mean age of mothers at the births of one cohort, days; 0 when no young are laid.
double mean_generation_days(std::span<const ChainStage> stages, const LayingStage& laying);

}  // namespace leafturn::population
