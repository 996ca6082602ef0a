#pragma once
/// The inner loop: one block of 16 members in one bed through one run of development, death and laying. Adding, multiplying, dividing and
/// comparing only, lane by lane: every choice of lanes gives the same bits.

#include <cstddef>
#include <span>

#include "core/phenology/degree_day_kernel.hpp"
#include "core/population/ensemble.hpp"
#include "core/population/steps.hpp"

namespace leafturn::population {

using phenology::Lanes;
using phenology::widest_lanes;

/// What one block meets in one bed during one run.
struct BlockRun {
  const Life* life = nullptr;
  const Run* run = nullptr;
  /// [stage × 16] deaths per individual and day, at least 0; in one pass at most `most_hazard`
  std::span<const float> hazard;
  std::span<const float> young;  ///< [16] young per adult's whole laying life, of this member today
  std::span<float> laid;         ///< [16] young laid in the run: added to
  float resting_share = 0.0F;    ///< of those leaving Life::rest_decided, sent to `resting`
  std::span<float> resting;      ///< [16] added to; may be empty when nobody rests
  std::span<float> x;            ///< [substages × 16], in place
};

/// Deaths per individual in one pass at most: one of three thousand lives through it. What kills more surely is a share taken at once.
inline constexpr float most_hazard = 8.0F;

/// Half the deaths of a pass, development (StagePass), the other half, for each pass. Those who die between two stages die half at the
/// hazard of each. Young are laid evenly over a pass and go into the first two substages. Each individual that lives through the laying
/// stage lays `young` in all. Nobody goes below zero or is lost but by death; those past the end have died of age.
void advance_block(const BlockRun& block, Lanes lanes);
/// x below `tiny` becomes 0.
void flush_tiny(std::span<float> x, Lanes lanes);

/// Individuals by stage: out [stage × 16].
void stage_totals(const Life& life, std::span<const float> x, std::span<float> out, Lanes lanes);

}  // namespace leafturn::population
