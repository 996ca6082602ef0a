#include "core/weather/humidity.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::weather {
namespace {

double magnus_hpa(double celsius) { return 6.112 * num::exp(17.62 * celsius / (243.12 + celsius)); }

/// Vapour pressure that a psychrometer with these two bulbs tells, hPa.
double psychrometer_hpa(double dry, double wet, double pressure_hpa) {
  return magnus_hpa(wet) - 6.53e-4 * (1.0 + 0.000944 * wet) * pressure_hpa * (dry - wet);
}

}  // namespace

Pressure saturation_pressure(Temperature t) { return Pressure::hectopascals(magnus_hpa(t.celsius())); }

Temperature dew_point(Temperature t, double humidity) {
  const double g = num::log(humidity) + 17.62 * t.celsius() / (243.12 + t.celsius());
  return Temperature::celsius(243.12 * g / (17.62 - g));
}

double relative_humidity(Temperature t, Temperature dew) { return std::min(1.0, magnus_hpa(dew.celsius()) / magnus_hpa(t.celsius())); }

Temperature wet_bulb(Temperature t, double humidity, Pressure pressure) {
  const double dry = t.celsius();
  const double vapour = humidity * magnus_hpa(dry);
  double low = humidity > 0.0 ? std::max(-89.0, dew_point(t, humidity).celsius()) : -89.0;
  double high = dry;
  // From 150 K down to less than 1e-9 K; a count, because at absurd temperatures two neighbouring numbers lie further apart than that.
  for (int halving = 0; halving < 38; ++halving) {
    const double middle = 0.5 * (low + high);
    (psychrometer_hpa(dry, middle, pressure.hectopascals()) < vapour ? low : high) = middle;
  }
  return Temperature::celsius(0.5 * (low + high));
}

Temperature wet_bulb_stull(Temperature t, double humidity) {
  const double c = t.celsius();
  const double rh = 100.0 * humidity;
  const double root = num::sqrt(rh + 8.313659);
  return Temperature::celsius(c * num::atan(0.151977 * root) + num::atan(c + rh) - num::atan(rh - 1.676331) +
                              0.00391838 * rh * num::sqrt(rh) * num::atan(0.023101 * rh) - 4.686035);
}

TemperatureSpan delta_t(Temperature t, double humidity, Pressure pressure) { return t - wet_bulb(t, humidity, pressure); }

Pressure vapour_pressure_deficit(Temperature t, double humidity) {
  const double c = t.celsius();
  return Pressure::hectopascals(10.0 * 0.6108 * num::exp(17.27 * c / (c + 237.3)) * (1.0 - humidity));
}

Temperature heat_index(Temperature t, double humidity) {
  const double f = t.fahrenheit();
  const double rh = 100.0 * humidity;
  if (f <= 40.0) return t;
  const double simple = 0.5 * (0.5 * (f + 61.0 + 1.2 * (f - 68.0) + 0.094 * rh) + f);
  if (simple < 80.0) return Temperature::fahrenheit(simple);
  double index = -42.379 + 2.04901523 * f + 10.14333127 * rh - 0.22475541 * f * rh - 0.00683783 * f * f - 0.05481717 * rh * rh +
                 0.00122874 * f * f * rh + 0.00085282 * f * rh * rh - 0.00000199 * f * f * rh * rh;
  if (rh < 13.0 && f >= 80.0 && f <= 112.0) index -= (13.0 - rh) / 4.0 * num::sqrt((17.0 - std::abs(f - 95.0)) / 17.0);
  if (rh > 85.0 && f >= 80.0 && f <= 87.0) index += (rh - 85.0) / 10.0 * (87.0 - f) / 5.0;
  return Temperature::fahrenheit(index);
}

}  // namespace leafturn::weather
