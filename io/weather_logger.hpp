#pragma once
/// A thermometer's own file: what loggers export. Lines of text may stand above the header (up to 10); cells are parted by commas,
/// semicolons or tabs; with semicolons or tabs, and inside quotes, a decimal comma is read. One column is the time (`Date Time`,
/// `Timestamp`, `Fecha` …, or a date and a time column), one the temperature with its unit in the header (`Temp (°C)`,
/// `Temperature, °F`).
///
/// Times are on the site's clock unless they carry an offset: `2026-05-31 06:30`, `2026/05/31`, `31.05.2026`, and `05/31/2026` or
/// `31/05/2026` where some day of the file tells which of the two it is; 24 hours, or AM and PM. Readings lie a minute to three hours
/// apart; a day with fewer than 20/24 of its readings is missing. The hour that summer time repeats in autumn is kept and noted; equal
/// rows are read once, with a note.

#include <string>
#include <string_view>

#include "io/weather_file.hpp"

namespace leafturn::io {

/// Only for files that io/weather_csv.hpp doesn't know: another delimiter, text above the header, other names for the time.
bool looks_like_logger(std::string_view bytes);

/// Refused with line and field: `weather.two_thermometers`, `weather.units_needed`, `weather.bad_time`, `weather.day_or_month`,
/// `weather.not_a_number`, `weather.impossible`, `weather.duplicate_time`, `weather.too_sparse`, `weather.no_whole_day`, `weather.empty`,
/// the errors of csv.hpp and of DailySeries.
Result<WeatherContents> read_logger(std::string_view bytes, const std::string& name, const WeatherReading& reading);

}  // namespace leafturn::io
