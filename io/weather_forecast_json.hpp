#pragma once
/// Forecasts as JSON: every quantity by the hour, and the days they cover whole.
///   - Grid: the gridpoint forecast of the US National Weather Service (form from memory): `properties.temperature` with `uom` and
///     `values`, each with `validTime` (`2026-05-01T06:00:00+00:00/PT3H`) and `value`, which holds for every hour of its time;
///     `properties.quantitativePrecipitation` is the rain of its whole time, spread evenly; `properties.updateTime` is when it was made.
///   - Arrays: `hourly.time` and beside it arrays as long as it, `temperature` (or `temperature_2m`), `dew_point`, `relative_humidity`,
///     `wind_speed`, `wind_gusts`, `wind_direction`, `cloud_cover`, `precipitation`; `hourly_units`
///     names the unit of each (`°C`, `°F`, `mm`, `inch`); `issued`, a day or a time with its offset. Bare times are on the clock of
///     `utc_offset_seconds`, else the station's own.
/// Days are cut at `offset_seconds` of the reading, else at the file's own offset, else at UTC.

#include <optional>
#include <string>
#include <string_view>

#include "io/weather_file.hpp"

namespace leafturn::io {

/// JSON by its first character.
bool looks_like_json(std::string_view bytes);

/// Refused with the field: `weather.not_json`, `weather.forecast_form`, `weather.forecast_field`, `weather.forecast_unit`,
/// `weather.forecast_time`, `weather.forecast_lengths`, `weather.impossible`, `weather.forecast_overlap`, `weather.no_whole_day`, those of
/// DailySeries and HourlyReadings.
Result<WeatherContents> read_forecast_json(std::string_view bytes, const std::string& name, const WeatherReading& reading);

}  // namespace leafturn::io
