#pragma once
/// At the bed, before the first nozzle opens: what was measured there, held against the same limits as the hours. A forecast window is
/// never permission; this is the last gate, and what it doesn't know keeps it shut.

#include <optional>
#include <vector>

#include "core/spray/hours.hpp"

namespace leafturn::spray {

/// Measured and seen by the applicator, at the bed. Absent = not told.
struct AtBed {
  Instant at;
  std::optional<Speed> wind;  ///< at the nozzle's height
  std::optional<Temperature> temperature;
  std::optional<double> humidity;    ///< relative, 0 … 1
  std::optional<bool> people_clear;  ///< nobody but trained handlers within the distance
  std::optional<bool> in_flower;     ///< crop, weeds or cover in or beside the bed
  std::optional<bool> dry;           ///< no rain now, leaves dry
  std::optional<bool> dry_ahead;     ///< no rain expected within the hours that count, by the sky and the forecast
};

struct StartFound {
  std::vector<LimitFound> limits;
  Length people;     ///< the distance kept free
  bool may = false;  ///< nothing stops and nothing is unknown; what warns is advice
};

/// `people`: the distance kept free of them (label::exclusion_distance).
StartFound start_found(const AtBed& bed, const weather::Site& site, const SprayLimits& limits, Around around, Length people);

}  // namespace leafturn::spray
