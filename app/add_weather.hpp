#pragma once
/// A weather file into a garden: read first, then its bytes and one event, or nothing at all.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/open_garden.hpp"

namespace leafturn::app {

/// As typed.
struct WeatherTyped {
  std::string name;  ///< a file added again under the same name replaces the earlier one
  std::optional<std::string> units, station;
  std::string by;
};

struct AddedWeather {
  std::string name;
  Digest text;
  std::size_t days = 0;  ///< with both extremes
  Date first, last;
  std::optional<Date> issued;  ///< a forecast: the day it was made
  std::vector<Reason> notes;   ///< what the reader noticed
  /// Absent when the garden had this very file, to be read the same way, under this name: nothing was written.
  std::optional<store::Receipt> receipt;
};

/// Recorded weather is dated by its own days and so counts from the garden's beginning, whenever the file came; a forecast from the day it
/// was made. Import does the same. Errors: `weather.units_word`, the reader's, and app::record's.
Result<AddedWeather> add_weather(OpenGarden& garden, std::string_view bytes, const WeatherTyped& typed, Instant now);

/// The same for a file on the disk; without a name given, the file's.
Result<AddedWeather> add_weather_file(OpenGarden& garden, const std::string& path, WeatherTyped typed, Instant now);

}  // namespace leafturn::app
