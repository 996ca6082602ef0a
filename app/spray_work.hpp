#pragma once
/// How much a sprayer gives, and what goes into its tank.

#include <optional>
#include <string>

#include "core/base/result.hpp"
#include "core/spray/mix.hpp"

namespace leafturn::app {

/// As typed: flow, speed and width, or volume and area.
struct CalibrateQuestion {
  std::optional<std::string> flow, speed, width, volume, area;
};
struct CalibrateAnswer {
  CalibrateQuestion asked;
  spray::SprayVolume gives;
  Area per_gallon, per_ten_litres;  ///< ground that one gallon, and ten litres, cover
};
/// Errors: those of the quantities, `calibrate.needs` (neither set is whole), `calibrate.both`, `calibrate.nothing` (a zero).
Result<CalibrateAnswer> calibrate(const CalibrateQuestion& question);

struct MixQuestion {
  std::string rate;
  std::optional<std::string> least, carrier, area, volume, tank;
};
struct MixAnswer {
  MixQuestion asked;
  spray::Mixed mixed;
};
/// Errors: those of the quantities and rates, and of spray::mix.
Result<MixAnswer> mix(const MixQuestion& question);

}  // namespace leafturn::app
