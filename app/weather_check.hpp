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

/// One hour as it is read, and how fast droplets dry in it.
struct ShownHour {
  weather::HourlyReading reading;
  std::optional<TemperatureSpan> delta_t;  ///< where temperature and humidity are known; at 1013.25 hPa, since stations tell the sea's
};
struct WeatherHoursAnswer {
  std::string path;
  io::WeatherContents contents;
  Zone clock;     ///< the standard time of the question's zone, else UTC
  Date from, to;  ///< on that clock, clipped to the hours
  std::vector<ShownHour> hours;
};
/// The hours of those days. Errors: those of weather_show; `weather.no_hours` where the file tells none.
Result<WeatherHoursAnswer> weather_hours(const WeatherShowQuestion& question);

}  // namespace leafturn::app
