#include "app/weather_file.hpp"

#include <algorithm>

#include "io/file_bytes.hpp"
#include "io/zone.hpp"

namespace leafturn::app {

// The smaller of its offsets in January and July.
Result<std::optional<std::int32_t>> standard_offset(const std::optional<std::string>& zone) {
  if (!zone) return std::nullopt;
  const auto clock = io::load_zone(*zone);
  if (!clock) return fail(clock.error());
  const auto offset_in = [&](int month) { return clock->offset_seconds(clock->start_of(Date::from_ymd(2025, month, 1).value_or(Date{}))); };
  return std::min(offset_in(1), offset_in(7));
}

Result<io::WeatherContents> read_weather_file(const WeatherFileQuestion& question) {
  io::WeatherReading reading;
  reading.station = question.station;
  if (question.units) {
    reading.units = io::parse_units(*question.units);
    if (!reading.units) return fail("weather.units_word", {{}, 0, "--units"}, {{"given", *question.units}});
  }
  const auto offset = standard_offset(question.zone);
  if (!offset) return fail(offset.error());
  reading.offset_seconds = *offset;
  const auto bytes = io::read_file(question.path);
  if (!bytes) return fail(bytes.error());
  return io::read_weather(*bytes, question.path, reading);
}

Result<io::WeatherContents> read_weather_file(const std::string& path, const std::optional<std::string>& units) {
  return read_weather_file({.path = path, .units = units, .station = {}, .zone = {}});
}

std::string_view word_for(io::WeatherKind kind) {
  switch (kind) {
    case io::WeatherKind::daily_table:
      return "daily_table";
    case io::WeatherKind::hourly_table:
      return "hourly_table";
    case io::WeatherKind::ghcn_fixed:
      return "ghcn_fixed";
    case io::WeatherKind::ghcn_rows:
      return "ghcn_rows";
    case io::WeatherKind::ghcn_table:
      return "ghcn_table";
    case io::WeatherKind::logger:
      return "logger";
    case io::WeatherKind::forecast_grid:
      return "forecast_grid";
    case io::WeatherKind::forecast_arrays:
      return "forecast_arrays";
  }
  return "";
}

}  // namespace leafturn::app
