#pragma once
// Times as loggers write them.

#include <optional>
#include <string>
#include <string_view>

#include "core/base/date.hpp"

namespace leafturn::io {

enum class DayAndMonth { day_first, month_first };

struct LoggerTime {
  std::string text;                ///< as written
  std::optional<Instant> instant;  ///< with an offset
  std::optional<Date> date;        ///< where the order of day and month is plain
  bool slashed = false;            ///< `05/06/2026`: `first` and `second` are day and month or month and day
  int first = 0, second = 0, year = 0;
  std::int32_t second_of_day = 0;

  /// On the site's clock; times with an offset by `zone`. Nothing when there is no such day.
  std::optional<CivilTime> civil(DayAndMonth order, const Zone& zone) const;
};

/// A day and a time of day; nothing for anything else, years of two digits included.
std::optional<LoggerTime> parse_logger_time(std::string_view text);

}  // namespace leafturn::io
