#pragma once
/// A weather file by its path.

#include <optional>
#include <string>

#include "io/weather_csv.hpp"

namespace leafturn::app {

/// `units` as typed (`F`, `C`, `us`, `si`): `weather.units_word` for anything else. Errors of the file and of io::read_weather_csv.
Result<io::DailyFile> read_weather_file(const std::string& path, const std::optional<std::string>& units);

}  // namespace leafturn::app
