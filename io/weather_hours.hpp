#pragma once
// Readings of an hour or less, gathered into the station's days.

#include <bitset>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "core/weather/daily.hpp"

namespace leafturn::io {

class HoursByDay {
 public:
  void take(const CivilTime& time, std::optional<Temperature> reading, std::optional<Length> rain);
  /// One day each; a day with fewer than 20 of its 24 hours has no extremes, and no rain with fewer than 20 hours of it. Notes what was
  /// done: `weather.hourly_reduced`, `weather.hourly_days_at_offset` or `weather.hourly_days_utc` where times were in UTC,
  /// `weather.hours_missing`.
  std::vector<weather::Day> days(bool times_in_utc, std::optional<std::int32_t> offset_seconds, std::vector<Reason>& notes) const;

 private:
  struct Hours {
    std::optional<Temperature> min, max;
    std::bitset<24> seen, rain_seen;
    Length rain;
  };
  std::map<Date, Hours> hours_;
};

}  // namespace leafturn::io
