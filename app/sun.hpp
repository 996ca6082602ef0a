#pragma once
/// Where the sun stands.

#include <optional>
#include <string>

#include "core/base/result.hpp"
#include "core/weather/sun.hpp"

namespace leafturn::app {

/// As typed. Without a pressure or temperature, those of weather::Air.
struct SunQuestion {
  std::string at;  ///< ISO 8601 with an offset
  std::string latitude, longitude;
  std::optional<std::string> elevation, pressure, temperature;
};

struct SunAnswer {
  SunQuestion asked;
  Instant at;
  std::int32_t offset_seconds = 0;  ///< as given with the time: the answer's clock times are in it
  weather::SunPosition position;
  weather::SunDay day;
};

/// Errors: those of the quantities, `time.no_offset`, `time.unreadable`.
Result<SunAnswer> sun(const SunQuestion& question);

}  // namespace leafturn::app
