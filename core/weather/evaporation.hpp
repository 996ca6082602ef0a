#pragma once
/// How much water the air takes from a watered lawn: reference evapotranspiration and what it is made of.
/// Allen, Pereira, Raes & Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56 ('FAO-56'); the equation's number
/// stands at each function. Checked in tests/weather against the paper's worked examples.

#include <optional>

#include "core/base/quantity.hpp"

namespace leafturn::weather {

/// Radiation over a day, MJ m⁻² d⁻¹.
struct DailyRadiation {
  double megajoules = 0.0;
};

Pressure fao_saturation_pressure(Temperature t);                          ///< eq. 11
Pressure fao_mean_saturation_pressure(Temperature min, Temperature max);  ///< eq. 12: the mean of both ends, not of the mean
double fao_saturation_slope(Temperature t);                               ///< eq. 13, kPa/°C
Pressure fao_pressure_at(Length elevation);                               ///< eq. 7
double fao_psychrometric_constant(Pressure p);                            ///< eq. 8, kPa/°C
/// Actual vapour pressure from a psychrometer (eq. 15–16); `coefficient` 0.000662 aspirated, 0.000800 natural, 0.001200 indoors, per °C.
Pressure fao_vapour_from_bulbs(Temperature dry, Temperature wet, Pressure p, double coefficient = 0.000662);
/// … from the day's humidities at its extremes (eq. 17).
Pressure fao_vapour_from_humidity(Temperature min, Temperature max, double humidity_max, double humidity_min);

/// Extraterrestrial radiation of a day (eq. 21–25). In polar night 0, in polar day the sunset hour angle is π.
DailyRadiation fao_extraterrestrial(Angle latitude, int day_of_year);
double fao_daylight_hours(Angle latitude, int day_of_year);                                               ///< eq. 34
DailyRadiation fao_solar_from_sunshine(double sunshine_hours, double daylight_hours, DailyRadiation ra);  ///< eq. 35, a = 0.25, b = 0.50
/// eq. 50; `coefficient` 0.16 inland, 0.19 at a coast.
DailyRadiation fao_solar_from_temperatures(Temperature min, Temperature max, DailyRadiation ra, double coefficient = 0.16);
DailyRadiation fao_clear_sky(Length elevation, DailyRadiation ra);  ///< eq. 37
DailyRadiation fao_net_shortwave(DailyRadiation rs);                ///< eq. 38, albedo 0.23
/// eq. 39; rs/rso is taken at most 1.
DailyRadiation fao_net_longwave(Temperature min, Temperature max, Pressure vapour, DailyRadiation rs, DailyRadiation rso);
/// Wind at 2 m from wind at another height over grass (eq. 47); heights above 0.1 m.
Speed fao_wind_at_2m(Speed wind, Length height);
/// The same profile between any two heights over grass, both above 0.1 m.
Speed fao_wind_at(Speed wind, Length measured, Length wanted);

/// What is known of a day. Temperatures are needed; the rest has a published way out.
struct EvaporationDay {
  Temperature min, max;
  Angle latitude;
  Length elevation;
  int day_of_year = 1;
  std::optional<Pressure> vapour;                    ///< actual vapour pressure, taken at least 0; rules over the next three
  std::optional<Temperature> dew_point;              ///< else the day's minimum (eq. 48)
  std::optional<double> humidity_min, humidity_max;  ///< both or none; rules over dew_point
  std::optional<double> sunshine_hours;              ///< else the temperature range (eq. 50)
  std::optional<DailyRadiation> solar;               ///< rules over sunshine
  std::optional<Speed> wind;                         ///< else, and at 0.1 m or lower, 2 m/s, the mean of 2000 stations (FAO-56, ch. 3)
  Length wind_height = Length::metres(2.0);
  /// For monthly means: soil heat by eq. 43 with both, by eq. 44 with the month before alone; else 0, as for a day (eq. 42).
  std::optional<Temperature> month_before, month_after;
};

struct Evaporation {
  Length water;  ///< a day, never below 0
  /// What was guessed for want of a measurement.
  bool humidity_guessed = false, sun_guessed = false, wind_guessed = false;
};

/// FAO-56 Penman–Monteith (eq. 6).
Evaporation reference_evaporation(const EvaporationDay& day);

}  // namespace leafturn::weather
