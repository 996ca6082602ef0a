#pragma once
/// Hourly readings of a station, a logger or a forecast: every quantity that was told, in order, one row an hour, hours missing where
/// nothing was recorded. Built only by `HourlyReadings::from_readings`, where the checks are.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/quantity.hpp"
#include "core/base/result.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::weather {

/// One hour. A field that is absent wasn't told. A reading made within the hour stands for the hour.
struct HourlyReading {
  Instant at;  ///< the hour's beginning; from_readings cuts it to the whole hour
  std::optional<Temperature> temperature;
  std::optional<Temperature> dew_point;
  std::optional<double> humidity;  ///< relative, 0 … 1
  std::optional<Speed> wind, gust;
  std::optional<Angle> wind_from;  ///< clockwise from north
  std::optional<Length> rain;      ///< fallen in the hour
  std::optional<Pressure> pressure;
  std::optional<double> cloud;  ///< share of the sky, 0 … 1
};

/// The first field of one reading that can't be, by its name, or null. The limits are those of HourlyReadings.
const char* impossible_field(const HourlyReading& reading);

/// Laws: rows rise in time, at most one an hour; temperatures and rain as in DailySeries (rain at most 500 mm), humidity and cloud within
/// 0 … 1, wind and gust 0 … 120 m/s, pressure 500 … 1100 hPa, dew point at most 1 K above temperature (instruments differ by that much;
/// it is then cut to it).
class HourlyReadings {
 public:
  HourlyReadings() = default;
  /// `readings` in any order. Errors: `weather.empty`, `weather.duplicate_hour` (the hour), `weather.impossible_reading` (time and field),
  /// `weather.span_too_long` over 300 years. Where one of dew point and humidity is told beside temperature, the other is computed
  /// (core/weather/humidity.hpp); a dew point below the limits stays absent.
  static Result<HourlyReadings> from_readings(std::vector<HourlyReading> readings);

  bool empty() const { return rows_.empty(); }
  std::span<const HourlyReading> rows() const { return rows_; }
  /// The hour that `at` lies in, or null.
  const HourlyReading* find(Instant at) const;
  /// These rows up to the first of `later`, then `later`.
  HourlyReadings continued_by(const HourlyReadings& later) const;
  /// Extremes and rain of each day of a fixed offset from UTC (standard time, all year). A day with fewer than 20 of its hours has no
  /// extremes, or no rain. Days without any hour between the first and the last are missing. Empty without rows.
  DailySeries days(std::int32_t offset_seconds) const;

 private:
  std::vector<HourlyReading> rows_;
};

}  // namespace leafturn::weather
