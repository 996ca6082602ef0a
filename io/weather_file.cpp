#include "io/weather_file.hpp"

#include "io/weather_csv.hpp"
#include "io/weather_forecast_json.hpp"
#include "io/weather_ghcn.hpp"
#include "io/weather_logger.hpp"

namespace leafturn::io {

std::optional<UnitsChoice> parse_units(std::string_view word) {
  if (word == "F" || word == "f") return UnitsChoice::fahrenheit;
  if (word == "C" || word == "c") return UnitsChoice::celsius;
  if (word == "us" || word == "US") return UnitsChoice::us;
  if (word == "si" || word == "SI") return UnitsChoice::si;
  if (word == "tenths") return UnitsChoice::tenths;
  return std::nullopt;
}

Result<WeatherContents> read_weather(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  if (looks_like_json(bytes)) return read_forecast_json(bytes, name, reading);
  if (const auto kind = ghcn_kind(bytes)) return read_ghcn(bytes, name, reading, *kind);
  if (looks_like_logger(bytes)) return read_logger(bytes, name, reading);
  return read_weather_csv(bytes, name, reading);
}

}  // namespace leafturn::io
