#pragma once
/// Every weather file a user may have, told apart by what is in it (docs/weather-files.md has the forms).

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/weather/daily.hpp"
#include "core/weather/readings.hpp"

namespace leafturn::io {

/// What the user said the file's units are: temperature only (`F`, `C`), or everything (`us`: °F, mph, inches, mbar; `si`: °C, m/s, mm,
/// hPa; `tenths`: tenths of °C and of mm, as GHCN-Daily counts).
enum class UnitsChoice { fahrenheit, celsius, us, si, tenths };
std::optional<UnitsChoice> parse_units(std::string_view word);

/// What a file can't say about itself.
struct WeatherReading {
  std::optional<UnitsChoice> units;
  std::optional<std::string> station;          ///< which one, where the file holds several
  std::optional<std::int32_t> offset_seconds;  ///< standard time of the station from UTC, for readings with times in UTC
};

enum class WeatherKind {
  daily_table,      ///< one row a day, columns by header
  hourly_table,     ///< one row an hour or less, columns by header
  ghcn_fixed,       ///< GHCN-Daily, a month of one element a line (`.dly`)
  ghcn_rows,        ///< GHCN-Daily, one reading a row
  ghcn_table,       ///< GHCN-Daily, one day a row with attributes beside each element
  logger,           ///< one thermometer's own readings, minutes to hours apart
  forecast_grid,    ///< a grid forecast as JSON, values with the time they hold for
  forecast_arrays,  ///< hourly values as JSON arrays
};

/// Whose readings these are, as far as the file says.
struct Station {
  std::string id, name;
  std::optional<Angle> latitude, longitude;
  std::optional<Length> elevation;
};

/// A reading that its own source marked as suspect. It counts as missing.
struct FlaggedReading {
  Date date;
  std::string element;  ///< as the file calls it, `TMAX`
  char flag = ' ';      ///< as the file writes it
};

struct WeatherContents {
  WeatherKind kind = WeatherKind::daily_table;
  weather::DailySeries series;
  std::optional<weather::HourlyReadings> hourly;  ///< hourly tables and forecasts: every quantity by the hour
  std::vector<Reason> notes;                      ///< sorted, columns ignored …
  std::optional<Date> issued;                     ///< a forecast: the day it was made, on the station's clock as far as it is known
  std::optional<Instant> issued_at;               ///< and the time, when told
  Station station;
  std::vector<FlaggedReading> flagged;
};

/// `name` is only for messages; the form follows from the bytes. Errors carry line and field: those of io/weather_csv.hpp,
/// io/weather_ghcn.hpp, io/weather_logger.hpp and io/weather_forecast_json.hpp.
Result<WeatherContents> read_weather(std::string_view bytes, const std::string& name, const WeatherReading& reading = {});

}  // namespace leafturn::io
