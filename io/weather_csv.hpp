#pragma once
/// Daily weather from a CSV by its header (the contract's rules).

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/weather/daily.hpp"

namespace leafturn::io {

/// What the user said the file's units are: temperature only (`F`, `C`), or everything (`us`: °F, mph, inches, mbar; `si`: °C, m/s, mm,
/// hPa).
enum class UnitsChoice { fahrenheit, celsius, us, si };
std::optional<UnitsChoice> parse_units(std::string_view word);

struct DailyFile {
  weather::DailySeries series;
  std::vector<Reason> notes;   ///< sorted, columns ignored …
  std::optional<Date> issued;  ///< a forecast: the day it was made (`issued` column, one value throughout)
};

/// What a file can't say about itself.
struct WeatherReading {
  std::optional<UnitsChoice> units;
  std::optional<std::string> station;          ///< which one, where the file holds several
  std::optional<std::int32_t> offset_seconds;  ///< standard time of the station from UTC, for hourly files with times in UTC
};

/// `name` is only for messages. Columns by header, any case: date (`date`), maximum (`tmax`, `temp_max`, `max_temp` …) and minimum
/// likewise, rain
/// (`prcp`, `precip`, `precipitation`, `rain`, `rainfall`), each with a unit's ending or without (`tmax_c`, `temp_max_f`, `rain_mm`, `TMAX
/// (F)`). Units from the header's ending, else from `units`, which overrides endings with a note; needed and lacking:
/// `weather.units_needed`. `NA`, empty and −9999 are missing. Rows out of order are sorted with a note. Rain whose unit isn't known, or
/// whose columns disagree, is left out with a note.
///
/// Hourly files (`time_hour` or `time`, and `temp`) are reduced to the extremes and rain of each local standard day; a day with fewer than
/// 20 of its hours is missing. Times with an offset are placed by `offset_seconds` (else by UTC, with a note), bare times are the station's
/// own.
///
/// Refused with line and field: the errors of csv.hpp, `weather.no_column`, `weather.bad_date`, `weather.bad_time`, `weather.not_a_number`,
/// `weather.impossible`, `weather.min_above_max`, `weather.duplicate_date`, `weather.duplicate_time`, `weather.issued_differs`,
/// `weather.several_stations`, `weather.no_such_station`, `weather.no_readings`, `weather.empty`, `weather.span_too_long`.
Result<DailyFile> read_weather_csv(std::string_view bytes, const std::string& name, const WeatherReading& reading);
Result<DailyFile> read_weather_csv(std::string_view bytes, const std::string& name, std::optional<UnitsChoice> units = {});

}  // namespace leafturn::io
