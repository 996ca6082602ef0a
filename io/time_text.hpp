#pragma once
/// Times and days as people type them.

#include <string>
#include <string_view>

#include "core/base/date.hpp"
#include "core/base/result.hpp"

namespace leafturn::io {

/// A time that came with its own offset from UTC.
struct OffsetTime {
  Instant at;
  std::int32_t offset_seconds = 0;
};
/// `2003-10-17T12:30:30-07:00` or `…Z`. Errors: `time.no_offset` for a time without one, `time.unreadable`.
Result<OffsetTime> parse_offset_time(std::string_view text, const std::string& field);

/// A time with an offset, or a bare one read in `zone`; a bare day is its start. Errors: `time.unreadable`.
Result<Instant> parse_time(std::string_view text, const Zone& zone, const std::string& field);

/// Wall-clock time in `zone`, and whether only the day was given.
struct WallTime {
  CivilTime time;
  bool day_only = false;
};
Result<WallTime> parse_wall_time(std::string_view text, const Zone& zone, const std::string& field);

/// `2026-05-31`. Error: `time.day_unreadable`.
Result<Date> parse_day(std::string_view text, const std::string& field);

}  // namespace leafturn::io
