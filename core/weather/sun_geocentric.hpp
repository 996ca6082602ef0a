#pragma once
/// The sun as seen from the Earth's centre: the first half of the algorithm in sun.hpp, apart so that the report's intermediate values can
/// be checked one by one.

#include "core/base/date.hpp"
#include "core/base/quantity.hpp"

namespace leafturn::weather {

struct GeocentricSun {
  Angle heliocentric_longitude, heliocentric_latitude;
  double radius_au = 1.0;  ///< astronomical units
  Angle nutation_longitude, nutation_obliquity;
  Angle obliquity;  ///< true obliquity of the ecliptic
  Angle apparent_longitude;
  Angle sidereal_time;  ///< apparent, at Greenwich
  Angle right_ascension, declination;
  double equation_of_time_minutes = 0.0;
};

GeocentricSun geocentric_sun(Instant when, double delta_t_seconds);

}  // namespace leafturn::weather
