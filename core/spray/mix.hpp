#pragma once
/// What goes into the tank: product and water for an area or a volume, load by load, in measures that never give more than the label's
/// most.

#include <optional>
#include <span>
#include <vector>

#include "core/base/result.hpp"
#include "core/label/card.hpp"
#include "core/spray/measures.hpp"
#include "core/spray/rates.hpp"

namespace leafturn::spray {

struct MixRequest {
  label::ProductRate rate;                  ///< wanted, and never exceeded
  std::optional<label::ProductRate> least;  ///< the label's least, in the same measure: a dose below 0.9 of it is refused
  std::optional<SprayVolume> carrier;       ///< finished spray per area, as calibrated
  std::optional<Area> area;
  std::optional<Volume> volume;  ///< finished spray, instead of carrier and area
  std::optional<Volume> tank;    ///< one load at most; absent: all in one
  std::span<const Measure> measures = usual_measures();
};

/// One filling of the tank.
struct Load {
  Volume finished;
  double wanted = 0.0;            ///< L, or g of a dry product
  double product = 0.0;           ///< as measured: the better of the readings
  Volume water;                   ///< to add: a liquid product takes its room, a dry one is taken to take none
  std::vector<Reading> readings;  ///< metric and US, each where it can be measured out
};

struct Mixed {
  bool weighs = false;
  double wanted = 0.0;  ///< L or g in all, not rounded
  Volume finished, water;
  std::vector<Load> loads;  ///< full ones and a last one; all alike where the last would be too small to measure
};

/// Errors, all bad input: `spray.mix_needs_volume` (a rate per volume without volume, and without carrier and area),
/// `spray.mix_needs_area` (a rate per area without area), `spray.mix_needs_carrier` (the same without carrier or volume),
/// `spray.mix_nothing` (zero or not finite), `spray.mix_more_product_than_spray`, `spray.mix_too_many_loads` (above 200),
/// `spray.dose_too_small` (facts: dose, least, and `times`, how many such jobs to combine), `spray.least_not_reached` (no measure gives
/// 0.9 of the label's least without passing the most).
Result<Mixed> mix(const MixRequest& request);

}  // namespace leafturn::spray
