#pragma once
/// A weather file by its path.

#include <cstdint>
#include <optional>
#include <string>

#include "io/weather_file.hpp"

namespace leafturn::app {

/// As typed; nothing here has been looked at yet.
struct WeatherFileQuestion {
  std::string path;
  std::optional<std::string> units;    ///< `F`, `C`, `us`, `si` or `tenths`
  std::optional<std::string> station;  ///< which one, where the file holds several
  std::optional<std::string> zone;     ///< of the station, for readings with times in UTC: days are cut at its standard midnight
};

/// Any of the forms of io/weather_file.hpp. Errors: those of the file, its reader and the zone; `weather.units_word` for other units.
Result<io::WeatherContents> read_weather_file(const WeatherFileQuestion& question);
Result<io::WeatherContents> read_weather_file(const std::string& path, const std::optional<std::string>& units);

/// A zone's clock without summer time as it is kept now, seconds from UTC; nothing without a zone. Errors: those of io::load_zone.
Result<std::optional<std::int32_t>> standard_offset(const std::optional<std::string>& zone);

/// `daily_table`, `ghcn_fixed` …: the word of answers and of the catalogue (`weather.kind.WORD`).
std::string_view word_for(io::WeatherKind kind);

}  // namespace leafturn::app
