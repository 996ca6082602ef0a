#pragma once
/// Water in the air: vapour pressure, dew point, wet bulb, Delta-T, the felt heat. Relative humidity is a share, 0 … 1.

#include "core/base/quantity.hpp"

namespace leafturn::weather {

/// Saturation vapour pressure over water, Magnus form of WMO-No. 8 (from memory): 6.112·exp[17.62·T/(243.12 + T)] hPa, T in °C.
/// Meant for −45 … 60 °C.
Pressure saturation_pressure(Temperature t);
/// The temperature at which air of `t` and `humidity` > 0 is saturated; the inverse of saturation_pressure.
Temperature dew_point(Temperature t, double humidity);
/// Of air at `t` whose dew point is `dew`; at most 1.
double relative_humidity(Temperature t, Temperature dew);

/// Wet bulb of an aspirated psychrometer at `pressure`: the T_w that solves e = e_w(T_w) − 6.53e-4·(1 + 0.000944·T_w)·p·(T − T_w)
/// (WMO-No. 8, from memory), by bisection to 1e-9 K. Never above `t`, never below the dew point.
Temperature wet_bulb(Temperature t, double humidity, Pressure pressure = Pressure::hectopascals(1013.25));
/// The same by one formula at sea level (Stull 2011, J. Appl. Meteorol. Climatol. 50:2267–2269): errors −1 … +0.65 K within 5–99 % and
/// −20 … 50 °C, but for air both cold and dry (2 K at −15 °C, 5 %). For comparison and for pages without pressure.
Temperature wet_bulb_stull(Temperature t, double humidity);
/// Delta-T = T − T_w: how fast droplets dry. Spray guidance asks for 2 … 8 K.
TemperatureSpan delta_t(Temperature t, double humidity, Pressure pressure = Pressure::hectopascals(1013.25));

/// Vapour pressure deficit with the saturation pressure of FAO-56 eq. 11: 0.6108·exp[17.27·T/(T + 237.3)] kPa.
Pressure vapour_pressure_deficit(Temperature t, double humidity);

/// How hot it feels in the shade: the US National Weather Service's heat index (Rothfusz regression with its two adjustments; below 80 °F
/// the mean of the simple formula and the temperature). For people at work; not meant below 40 °F, where it is the temperature itself.
Temperature heat_index(Temperature t, double humidity);

}  // namespace leafturn::weather
