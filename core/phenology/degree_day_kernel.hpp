#pragma once
/// Degree-days of many sites at once: single sine, horizontal cutoff, in float32 lanes.

#include <span>

#include "core/phenology/degree_days.hpp"

namespace leafturn::phenology {

/// Instructions to use. Every choice gives the same bits: adding, multiplying, dividing and square roots only, lane by lane.
enum class Lanes { baseline, avx2, avx512 };

/// The widest this processor has.
Lanes widest_lanes();

/// One value per cell: `mins` and `maxs` in °C, `out` in Celsius degree-days, all of the same length; `out` may be neither of the inputs.
/// Needs `thresholds.upper`. Cells with min > max mean nothing; a NaN in gives a NaN out; a flat day gives the rate itself.
/// Absolute error below 2e-5 C d against degree_days() for temperatures within ±100 °C.
///
/// With u the part of the day's span above a threshold, the mean heat above it is span·∫₀ᵘ (2/π) asin √s ds. For u ≤ ½ that is
/// span·u√u·Q(u), Q a power series without a pole near [0, ½] (here the minimax polynomial of degree 6, error 6.4e-9); for u > ½ it is the
/// same with 1 − u, plus mean − threshold. So no branch, no arcsine, no cosine.
void single_sine_horizontal(std::span<const float> mins, std::span<const float> maxs, const Thresholds& thresholds, std::span<float> out,
                            Lanes lanes);
void single_sine_horizontal(std::span<const float> mins, std::span<const float> maxs, const Thresholds& thresholds, std::span<float> out);

}  // namespace leafturn::phenology
