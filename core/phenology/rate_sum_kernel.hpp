#pragma once
/// Rate summation of many sites at once: a day's mean Brière-1 rate over 24 hourly temperatures, in float32 lanes.

#include <span>

#include "core/pest/rate_model.hpp"
#include "core/phenology/degree_day_kernel.hpp"

namespace leafturn::phenology {

/// Adds to `sums` the share of development that each site completes in a day: the mean of the rate over 24 hours of the single sine through
/// the day's extremes, T(h) = mid + half·sin(2π(h + ½)/24). The sine takes each of twelve values twice a day, so twelve rates are computed
/// for 24 hours. (Hour-by-hour seasons of single sites use weather/diurnal.hpp, whose day is not symmetric; across 10⁵ sites the extremes
/// are all there is.)
///
/// One cell per site: `mins`, `maxs` in °C, all three of the same length, `sums` neither of the inputs. `rate.m` is taken as 2. A NaN in
/// gives a NaN out. Every choice of lanes gives the same bits: adding, multiplying, square roots (which IEEE 754 fixes) and comparing only,
/// lane by lane. Absolute error of one day below 5e-5 of the curve's highest rate (worst where an hour touches the upper limit, where the
/// root is steep), on average below 1e-7.
void add_briere_day(std::span<const float> mins, std::span<const float> maxs, const pest::BriereRate& rate, std::span<float> sums,
                    Lanes lanes);
void add_briere_day(std::span<const float> mins, std::span<const float> maxs, const pest::BriereRate& rate, std::span<float> sums);

/// What one cell of add_briere_day costs: additions, multiplications and comparisons together, and square roots.
inline constexpr double briere_day_simple_operations = 12 * 9 + 6;
inline constexpr double briere_day_roots = 12;

}  // namespace leafturn::phenology
