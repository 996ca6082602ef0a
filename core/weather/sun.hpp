#pragma once
/// Where the sun stands. Reda & Andreas 2004 (Solar Energy 76:577–589; NREL/TP-560-34302), the full algorithm with its periodic
/// terms; stated uncertainty ±0.0003° for the years −2000 to 6000. Checked in tests/weather against the report's worked example.

#include <optional>

#include "core/base/date.hpp"
#include "core/base/quantity.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::weather {

/// The air the light passes, for refraction. Defaults: sea level standard pressure, 12 °C.
struct Air {
  Pressure pressure = Pressure::hectopascals(1013.25);
  Temperature temperature = Temperature::celsius(12.0);
};

struct SunPosition {
  Angle zenith;       ///< topocentric, with refraction where the sun is up
  Angle azimuth;      ///< clockwise from north, 0–360
  Angle declination;  ///< geocentric
  double equation_of_time_minutes = 0.0;
};

/// `delta_t_seconds`: terrestrial minus universal time; without it, the Espenak & Meeus polynomial for the year.
SunPosition sun_position(Instant when, const Site& site, const Air& air = {}, std::optional<double> delta_t_seconds = {});

/// Rise, transit and set that fall inside the civil day `day` at an offset from UTC, as almanacs list them; rise and set absent in polar
/// day or night, and one of them on the day it slips past midnight. The report's own example takes the UTC day (offset 0): its sunset there
/// is the evening before at the site. Settled to 0.1 ms; the almanac's horizon (34′ of refraction) makes real ones differ by a minute or
/// more.
struct SunDay {
  std::optional<Instant> rise, set;
  Instant transit;
  double day_length_hours = 0.0;  ///< 0 in polar night, 24 in polar day
};
SunDay sun_day(Date day, const Site& site, std::int32_t offset_seconds, std::optional<double> delta_t_seconds = {});

/// Day length in hours by the CBM model (Forsythe, Rykiel, Stahl, Wu & Schoolfield 1995, Ecol. Model. 80:87–95). `depression`: sun's centre
/// below the horizon at rise and set; 0.8333° is the almanac's sunrise. Cheap and good to a few minutes: used for diapause.
double day_length_hours(Angle latitude, int day_of_year, Angle depression = Angle::degrees(0.8333));

}  // namespace leafturn::weather
