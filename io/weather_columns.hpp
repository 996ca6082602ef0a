#pragma once
// Which column of a weather file holds what, and in which unit.

#include <optional>
#include <string>
#include <vector>

#include "core/base/fact.hpp"
#include "core/base/quantity.hpp"
#include "core/base/result.hpp"
#include "io/csv.hpp"
#include "io/weather_file.hpp"

namespace leafturn::io {

enum class TemperatureUnit { celsius, fahrenheit, tenths_celsius };
enum class RainUnit { millimetres, centimetres, inches, tenths_millimetre };
enum class WindUnit { kilometres_per_hour, metres_per_second, miles_per_hour, knots };
enum class ShareUnit { percent };
enum class AngleUnit { degrees };
enum class PressureUnit { hectopascals, kilopascals, inches_of_mercury };

/// The units that a word of the user stands for; rain's only where the word says it.
TemperatureUnit temperature_unit_of(UnitsChoice units);
std::optional<RainUnit> rain_unit_of(UnitsChoice units);

Temperature temperature_of(double value, TemperatureUnit unit);
Length rain_of(double value, RainUnit unit);
Speed speed_of(double value, WindUnit unit);
Pressure pressure_of(double value, PressureUnit unit);

template <class Unit>
struct MeasuredColumn {
  std::size_t index = 0;
  std::string name;  ///< as the file writes it
  Unit unit{};
};

struct WeatherColumns {
  bool hourly = false;
  std::size_t time = 0;
  std::string time_name;
  MeasuredColumn<TemperatureUnit> max, min;  ///< in hourly files both are the reading
  std::optional<MeasuredColumn<RainUnit>> rain;
  /// A second rain column, of unknown unit, that the first is held against.
  std::optional<std::size_t> rain_beside;
  std::optional<std::size_t> issued, station;
  /// Hourly files: what stands beside the temperature, where its unit is known.
  std::optional<MeasuredColumn<TemperatureUnit>> dew_point;
  std::optional<MeasuredColumn<ShareUnit>> humidity;
  std::optional<MeasuredColumn<WindUnit>> wind, gust;
  std::optional<MeasuredColumn<AngleUnit>> wind_from;
  std::optional<MeasuredColumn<PressureUnit>> pressure;
};

/// Notes: `weather.column_ignored`, `weather.units_overridden`, `weather.rain_unit_unknown`, `weather.unit_unknown` (a column left out).
Result<WeatherColumns> find_weather_columns(const CsvScanner& file, const std::string& name, std::optional<UnitsChoice> units,
                                            std::vector<Reason>& notes);

}  // namespace leafturn::io
