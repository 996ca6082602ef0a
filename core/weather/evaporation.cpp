#include "core/weather/evaporation.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::weather {
namespace {

constexpr Length lowest_mast = Length::metres(0.1);  // below, eq. 47 has no wind to give

double e0(double celsius) { return 0.6108 * num::exp(17.27 * celsius / (celsius + 237.3)); }
double kpa(Pressure p) { return p.hectopascals() / 10.0; }

double sunset_angle(double latitude, double declination) {
  return num::acos(std::clamp(-num::tan(latitude) * num::tan(declination), -1.0, 1.0));
}

double declination_of(int day_of_year) { return 0.409 * num::sin(2.0 * num::pi * day_of_year / 365.0 - 1.39); }

double radians(Angle a) { return a.degrees() * num::pi / 180.0; }

}  // namespace

Pressure fao_saturation_pressure(Temperature t) { return Pressure::kilopascals(e0(t.celsius())); }

Pressure fao_mean_saturation_pressure(Temperature min, Temperature max) {
  return Pressure::kilopascals(0.5 * (e0(min.celsius()) + e0(max.celsius())));
}

double fao_saturation_slope(Temperature t) {
  const double c = t.celsius();
  return 4098.0 * e0(c) / ((c + 237.3) * (c + 237.3));
}

Pressure fao_pressure_at(Length elevation) {
  return Pressure::kilopascals(101.3 * num::pow((293.0 - 0.0065 * elevation.metres()) / 293.0, 5.26));
}

double fao_psychrometric_constant(Pressure p) { return 0.665e-3 * kpa(p); }

Pressure fao_vapour_from_bulbs(Temperature dry, Temperature wet, Pressure p, double coefficient) {
  return Pressure::kilopascals(e0(wet.celsius()) - coefficient * kpa(p) * (dry - wet).kelvin());
}

Pressure fao_vapour_from_humidity(Temperature min, Temperature max, double humidity_max, double humidity_min) {
  return Pressure::kilopascals(0.5 * (e0(min.celsius()) * humidity_max + e0(max.celsius()) * humidity_min));
}

DailyRadiation fao_extraterrestrial(Angle latitude, int day_of_year) {
  const double lat = radians(latitude);
  const double declination = declination_of(day_of_year);
  const double distance = 1.0 + 0.033 * num::cos(2.0 * num::pi * day_of_year / 365.0);
  const double w = sunset_angle(lat, declination);
  const double ra = 24.0 * 60.0 / num::pi * 0.0820 * distance *
                    (w * num::sin(lat) * num::sin(declination) + num::cos(lat) * num::cos(declination) * num::sin(w));
  return {std::max(0.0, ra)};
}

double fao_daylight_hours(Angle latitude, int day_of_year) {
  return 24.0 / num::pi * sunset_angle(radians(latitude), declination_of(day_of_year));
}

DailyRadiation fao_solar_from_sunshine(double sunshine_hours, double daylight_hours, DailyRadiation ra) {
  return {(0.25 + 0.50 * sunshine_hours / daylight_hours) * ra.megajoules};
}

DailyRadiation fao_solar_from_temperatures(Temperature min, Temperature max, DailyRadiation ra, double coefficient) {
  return {coefficient * num::sqrt(std::max(0.0, (max - min).kelvin())) * ra.megajoules};
}

DailyRadiation fao_clear_sky(Length elevation, DailyRadiation ra) { return {(0.75 + 2e-5 * elevation.metres()) * ra.megajoules}; }

DailyRadiation fao_net_shortwave(DailyRadiation rs) { return {(1.0 - 0.23) * rs.megajoules}; }

DailyRadiation fao_net_longwave(Temperature min, Temperature max, Pressure vapour, DailyRadiation rs, DailyRadiation rso) {
  const auto fourth = [](Temperature t) {
    const double k = t.celsius() + 273.16;
    return k * k * k * k;
  };
  const double clear = rso.megajoules > 0.0 ? std::min(1.0, rs.megajoules / rso.megajoules) : 1.0;
  return {4.903e-9 * 0.5 * (fourth(max) + fourth(min)) * (0.34 - 0.14 * num::sqrt(kpa(vapour))) * (1.35 * clear - 0.35)};
}

Speed fao_wind_at_2m(Speed wind, Length height) { return wind * (4.87 / num::log(67.8 * height.metres() - 5.42)); }

Speed fao_wind_at(Speed wind, Length measured, Length wanted) {
  return wind * (num::log(67.8 * wanted.metres() - 5.42) / num::log(67.8 * measured.metres() - 5.42));
}

Evaporation reference_evaporation(const EvaporationDay& day) {
  Evaporation out;
  const Temperature mean = day.min + (day.max - day.min) * 0.5;
  const double saturated = kpa(fao_mean_saturation_pressure(day.min, day.max));
  Pressure vapour;
  if (day.vapour) {
    vapour = *day.vapour;
  } else if (day.humidity_min && day.humidity_max) {
    vapour = fao_vapour_from_humidity(day.min, day.max, *day.humidity_max, *day.humidity_min);
  } else {
    out.humidity_guessed = !day.dew_point;
    vapour = fao_saturation_pressure(day.dew_point.value_or(day.min));
  }
  vapour = std::max(Pressure{}, vapour);
  const DailyRadiation ra = fao_extraterrestrial(day.latitude, day.day_of_year);
  const DailyRadiation clear = fao_clear_sky(day.elevation, ra);
  DailyRadiation sun;
  if (day.solar) {
    sun = *day.solar;
  } else if (const double hours = fao_daylight_hours(day.latitude, day.day_of_year); day.sunshine_hours && hours > 0.0) {
    sun = fao_solar_from_sunshine(*day.sunshine_hours, hours, ra);
  } else {
    sun = fao_solar_from_temperatures(day.min, day.max, ra);
    out.sun_guessed = true;
  }
  sun.megajoules = std::min(sun.megajoules, clear.megajoules);
  const double net = fao_net_shortwave(sun).megajoules - fao_net_longwave(day.min, day.max, vapour, sun, clear).megajoules;
  double soil = 0.0;
  if (day.month_before)
    soil = day.month_after ? 0.07 * (*day.month_after - *day.month_before).kelvin() : 0.14 * (mean - *day.month_before).kelvin();
  out.wind_guessed = !day.wind || day.wind_height <= lowest_mast;
  const double wind = !out.wind_guessed ? fao_wind_at_2m(*day.wind, day.wind_height).metres_per_second() : 2.0;
  const double slope = fao_saturation_slope(mean);
  const double gamma = fao_psychrometric_constant(fao_pressure_at(day.elevation));
  const double water = (0.408 * slope * (net - soil) + gamma * 900.0 / (mean.celsius() + 273.0) * wind * (saturated - kpa(vapour))) /
                       (slope + gamma * (1.0 + 0.34 * wind));
  out.water = Length::millimetres(std::max(0.0, water));
  return out;
}

}  // namespace leafturn::weather
