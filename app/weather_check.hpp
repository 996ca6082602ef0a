#pragma once
/// A weather file looked at before it is believed, and its days as they are read.

#include <vector>

#include "app/weather_file.hpp"
#include "core/weather/quality.hpp"

namespace leafturn::app {

struct WeatherCheckAnswer {
  std::string path;
  io::WeatherContents contents;
  weather::Quality quality;
};
/// Errors: those of read_weather_file.
Result<WeatherCheckAnswer> weather_check(const WeatherFileQuestion& question);

struct WeatherShowQuestion {
  WeatherFileQuestion file;
  std::optional<std::string> from, to;  ///< default: the file's first and last day
};
struct WeatherShowAnswer {
  std::string path;
  io::WeatherContents contents;
  Date from, to;  ///< clipped to the file
};
/// Errors: those of read_weather_file and of the days; `weather.no_day_between` when the file has none of them.
Result<WeatherShowAnswer> weather_show(const WeatherShowQuestion& question);

}  // namespace leafturn::app
