#pragma once
/// GHCN-Daily, the world's daily station records, in the three forms in which they are published.
///
/// Source: NOAA, readme.txt of GHCN-Daily (from memory): values in tenths of °C and of mm; −9999 missing; a quality flag marks a reading
/// that failed a check. Elements read: TMAX, TMIN, PRCP.
///   - fixed: a line holds a month of one element; station 1–11, year 12–15, month 16–17, element 18–21, then 31 times value (5) and the
///     flags of measurement, quality and source (1 each).
///   - rows: station, YYYYMMDD, element, value, the three flags, time of observation (HHMM or empty); with or without a header line.
///   - table: one day a row, a column for each element and beside it `…_ATTRIBUTES` (the three flags and, in some, the time, by commas).
///     Published in tenths, but ordered files hold °F or °C instead and don't say which: whole numbers of which a twentieth or more are
///     beyond any temperature in °F are tenths, everything else needs `units`.
/// Flagged readings count as missing and are listed in `flagged`; rain that the source only presumed (measurement flag P) isn't known. A
/// station read in the morning files yesterday's maximum under today: that is noted, not shifted.

#include <optional>
#include <string>
#include <string_view>

#include "io/weather_file.hpp"

namespace leafturn::io {

/// By the first line; nothing for any other file.
std::optional<WeatherKind> ghcn_kind(std::string_view bytes);

/// Refused with line and field: `weather.ghcn_line`, `weather.ghcn_row`, `weather.bad_date`, `weather.not_a_number`, `weather.bad_time`,
/// `weather.impossible`, `weather.min_above_max`, `weather.duplicate_reading`, `weather.several_stations`, `weather.no_such_station`,
/// `weather.tenths_or_degrees`, `weather.units_needed`, `weather.no_readings`, `weather.empty`, `weather.span_too_long`, the errors of
/// csv.hpp.
Result<WeatherContents> read_ghcn(std::string_view bytes, const std::string& name, const WeatherReading& reading, WeatherKind kind);

}  // namespace leafturn::io
