#pragma once
/// Daily weather from a CSV by its header (the contract's rules).

#include <optional>
#include <string>
#include <string_view>

#include "core/weather/daily.hpp"

namespace leafturn::io {

/// What the user said the file's units are: temperature only (`F`, `C`), or everything (`us`: °F, mph, inches, mbar; `si`: °C, m/s, mm, hPa).
enum class UnitsChoice { fahrenheit, celsius, us, si };
std::optional<UnitsChoice> parse_units(std::string_view word);

struct DailyFile {
  weather::DailySeries series;
  std::vector<Reason> notes;            ///< sorted, columns ignored …
  std::optional<Date> issued;           ///< a forecast: the day it was made (`issued` column, one value throughout)
};

/// `name` is only for messages. Columns by header, any case: date (`date`, `DATE`), maximum (`tmax`, `TMAX`, `temp_max`, `tmax_c`, `tmax_f`, `temp_max_c` …),
/// minimum likewise, rain (`prcp`, `precipitation`, `rain_mm`, `rain_in`). Units from the header's ending, else from `units`; needed and lacking:
/// `weather.units_needed`. `NA`, empty and −9999 are missing. Rows out of order are sorted with a note. Refused, with line and field: duplicate dates, maximum
/// below minimum, non-numbers, impossible values, no such columns, not text. Hourly files (`time_hour`) are reduced to daily extremes.
Result<DailyFile> read_weather_csv(std::string_view bytes, const std::string& name, std::optional<UnitsChoice> units = {});

}  // namespace leafturn::io
