#pragma once
// Readings of one GHCN-Daily station, one element at a time, put together into days.

#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "io/weather_columns.hpp"
#include "io/weather_file.hpp"

namespace leafturn::io {

struct GhcnReading {
  Date date;
  std::string_view element;  ///< TMAX, TMIN or PRCP
  std::optional<double> value;
  char measurement = ' ', quality = ' ';
  std::optional<int> observed;  ///< minute of the day
  int line = 0;
};

/// What a number of the file counts in; nothing for rain when that isn't known.
struct GhcnScale {
  TemperatureUnit temperature = TemperatureUnit::tenths_celsius;
  std::optional<RainUnit> rain = RainUnit::tenths_millimetre;
};

class GhcnDays {
 public:
  GhcnDays(std::string name, const WeatherReading& reading, WeatherKind kind, GhcnScale scale);

  static bool wanted(std::string_view element) { return element == "TMAX" || element == "TMIN" || element == "PRCP"; }
  /// Whether this station's rows are read: false when another was asked for. `weather.several_stations`.
  Result<bool> station(std::string_view id, int line, const std::string& field);
  Status take(const GhcnReading& reading);
  Result<WeatherContents> finish();

  WeatherContents& contents() { return contents_; }

 private:
  struct Slot {
    weather::Day day;
    int max_line = 0, min_line = 0, rain_line = 0;
    bool recorded = false;
  };
  void note_what_was_seen();

  std::string name_;
  std::optional<std::string> asked_station_;
  bool told_units_;
  GhcnScale scale_;
  WeatherContents contents_;
  std::map<Date, Slot> days_;
  bool any_station_ = false, any_complete_ = false;
  std::int64_t observed_ = 0, morning_ = 0, presumed_dry_ = 0, rain_without_unit_ = 0;
  Date first_morning_, last_morning_;
};

}  // namespace leafturn::io
