#pragma once
/// What the sun does in one hour, as far as spraying minds it.

#include <vector>

#include "core/base/date.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::spray {

struct SkyHour {
  Angle sun;              ///< above the horizon at the middle of the hour, refraction included; below 0 at night
  bool daylight = false;  ///< some of the hour lies between sunrise and sunset
  /// Some of the hour lies between an hour before sunset and an hour after sunrise: the night of Pasquill's stability classes (Turner 1970,
  /// from memory), in which the ground cools the air above it.
  bool cooling = false;
  bool squash_flowers = false;  ///< some of it lies between an hour before sunrise and the sun's noon, when squash flowers are open
};

/// `hours` whole hours from `from` on.
std::vector<SkyHour> sky_of(Instant from, int hours, const weather::Site& site);

}  // namespace leafturn::spray
