#pragma once
// Readings of an hour or less, gathered into the station's days.

#include <array>
#include <bitset>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "core/weather/daily.hpp"
#include "core/weather/readings.hpp"

namespace leafturn::io {

class HoursByDay {
 public:
  /// Several values of rain within one hour count as a running total, as stations report it between whole hours: the greatest holds.
  void take(const CivilTime& time, std::optional<Temperature> reading, std::optional<Length> rain);
  /// One day each; a day with fewer than 20 of its 24 hours has no extremes, and no rain with fewer than 20 hours of it. Notes what was
  /// done: `weather.hourly_reduced`, `weather.hourly_days_at_offset` or `weather.hourly_days_utc` where times were in UTC,
  /// `weather.hours_missing`.
  std::vector<weather::Day> days(bool times_in_utc, std::optional<std::int32_t> offset_seconds, std::vector<Reason>& notes) const;

 private:
  struct Hours {
    std::optional<Temperature> min, max;
    std::bitset<24> seen;
    std::array<std::optional<Length>, 24> rain;
  };
  std::map<Date, Hours> hours_;
};

/// Rows of an hour or less, made into one reading an hour. Of several in one hour: the last temperature with that row's dew point and
/// humidity, the last wind with its direction, the last pressure, the greatest gust, and the greatest rain (a running total, as above).
class RowsOfHours {
 public:
  void take(const weather::HourlyReading& row) { rows_.push_back(row); }
  bool empty() const { return rows_.empty(); }
  /// Every row must be possible (weather::impossible_field). Notes `weather.rain_running_total` where an hour told rain several times.
  Result<weather::HourlyReadings> readings(std::vector<Reason>& notes);

 private:
  std::vector<weather::HourlyReading> rows_;
};

}  // namespace leafturn::io
