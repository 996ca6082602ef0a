#pragma once
/// Daily weather from a CSV by its header (the contract's rules).

#include <optional>
#include <string>
#include <string_view>

#include "io/weather_file.hpp"

namespace leafturn::io {

/// `name` is only for messages. Columns by header, any case: date (`date`), maximum (`tmax`, `temp_max`, `max_temp` …) and minimum
/// likewise, rain
/// (`prcp`, `precip`, `precipitation`, `rain`, `rainfall`), each with a unit's ending or without (`tmax_c`, `temp_max_f`, `rain_mm`, `TMAX
/// (F)`). Units from the header's ending, else from `units`, which overrides endings with a note; needed and lacking:
/// `weather.units_needed`. `NA`, empty and −9999 are missing. Rows out of order are sorted with a note. Rain whose unit isn't known, or
/// whose columns disagree, is left out with a note.
///
/// Hourly files (`time_hour` or `time`, and `temp`) are reduced to the extremes and rain of each local standard day; a day with fewer than
/// 20 of its hours is missing. They also give `hourly`: every quantity whose unit is known (docs/weather-files.md, 'Hourly rows'); values
/// beside temperature and rain that can't be are left out with a note, and so are hours of bare times without `offset_seconds`. Times with
/// an offset are placed by `offset_seconds` (else by UTC, with a note), bare times are the station's own.
///
/// Refused with line and field: the errors of csv.hpp, `weather.no_column`, `weather.bad_date`, `weather.bad_time`, `weather.not_a_number`,
/// `weather.impossible`, `weather.min_above_max`, `weather.duplicate_date`, `weather.duplicate_time`, `weather.issued_differs`,
/// `weather.several_stations`, `weather.no_such_station`, `weather.no_readings`, `weather.empty`, `weather.span_too_long`.
Result<WeatherContents> read_weather_csv(std::string_view bytes, const std::string& name, const WeatherReading& reading);
Result<WeatherContents> read_weather_csv(std::string_view bytes, const std::string& name, std::optional<UnitsChoice> units = {});

}  // namespace leafturn::io
