#pragma once
/// The inner loop: one block of 16 members in one bed through one step of development, death and laying. Adding, multiplying and comparing
/// only, lane by lane: every choice of lanes gives the same bits.

#include <cstddef>
#include <span>

#include "core/phenology/degree_day_kernel.hpp"
#include "core/population/ensemble.hpp"
#include "core/population/steps.hpp"

namespace leafturn::population {

using phenology::Lanes;
using phenology::widest_lanes;

/// What one block meets in one bed during one step.
struct BlockStep {
  const Life* life = nullptr;
  const Step* step = nullptr;
  std::span<const float>
      surviving;                 ///< [stage × 16] share that lives through the step (spread evenly over its passes by the caller's root)
  std::span<const float> young;  ///< [16] young per adult's whole laying life, of this member today
  std::span<float> laid;         ///< [16] young laid in the step: added to
  float resting_share = 0.0F;    ///< of those leaving Life::rest_decided, sent to `resting`
  std::span<float> resting;      ///< [16] added to; may be empty when nobody rests
};

/// x: [substages × 16], in place. For each pass: x(i) ← surviving·Σ_j taps(j)·x(i − j), the taps those of the stage left; young of the pass
/// go into substage 0 at its end. Each individual that lives through the laying stage lays `young` in all. Nobody goes below zero or is
/// lost but by death; those past the end have died of age.
void advance_block(const BlockStep& block, std::span<float> x, Lanes lanes);

/// x below 1e-30 becomes 0.
void flush_tiny(std::span<float> x, Lanes lanes);

/// Individuals by stage: out [stage × 16].
void stage_totals(const Life& life, std::span<const float> x, std::span<float> out, Lanes lanes);

}  // namespace leafturn::population
