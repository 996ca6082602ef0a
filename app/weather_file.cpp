#include "app/weather_file.hpp"

#include "io/file_bytes.hpp"

namespace leafturn::app {

Result<io::DailyFile> read_weather_file(const std::string& path, const std::optional<std::string>& units) {
  std::optional<io::UnitsChoice> choice;
  if (units) {
    choice = io::parse_units(*units);
    if (!choice) return fail("weather.units_word", {{}, 0, "--units"}, {{"given", *units}});
  }
  const auto bytes = io::read_file(path);
  if (!bytes) return fail(bytes.error());
  return io::read_weather_csv(*bytes, path, choice);
}

}  // namespace leafturn::app
