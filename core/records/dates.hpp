#pragma once
/// By when a record is made, shown and kept. Days are the garden's own.

#include <optional>
#include <string_view>

#include "core/base/date.hpp"
#include "core/records/rules.hpp"

namespace leafturn::records {

/// The same day that many years on; 29 February becomes 1 March, because kept too short is worse than a day too long.
Date years_after(Date day, int years);

/// Under 1/10 acre a restricted-use record may be shorter and says 'spot application' (Minnesota's summary of 7 CFR 110, seen).
inline constexpr double spot_acres = 0.1;

/// What a rule says of times. Absent: it says nothing.
struct Due {
  Rule rule = Rule::us_restricted;
  std::optional<Date> make_by;        ///< the record is written by this day
  std::optional<Instant> display_by;  ///< it hangs at the central place by then
  std::optional<Date> display_until;  ///< and until that day
  std::optional<Date> electronic_by;  ///< it is machine-readable by this day
  std::optional<Date> keep_until;     ///< and kept until this one
};

/// What the times follow from.
struct Times {
  Date applied, written;
  Instant ended;
  std::optional<Date> reentry_ends;  ///< the day the re-entry interval ends; absent: not known, or none
  std::string_view jurisdiction;     ///< `US-WI`, `EU-DE`
  /// Where a Member State allows it until 1 January 2030, all of a year's records are electronic by 31 January of the next one.
  bool converts_yearly = false;
};

/// 7 CFR 110: 14 days, 2 years (USDA AMS, seen). 40 CFR 170: shown within 24 hours until 30 days after re-entry ends, or after the
/// application (seen), kept 2 years from then (memory). 7 CFR 205.103(b): 5 years from the record's making (seen). (EU) 2023/564: written
/// at once, electronic in 30 days or by 31 January (Art. 3, seen), kept 3 years; Germany counts from the next 1 January (seen).
Due due(Rule rule, const Times& times);

/// When a posted sign goes up and comes down: at the earliest 24 hours before the application, down or covered at most 3 days after
/// re-entry ends (Washington State University, display and notification, seen). Re-entry not known: it stays.
struct SignTimes {
  Instant up_from;
  std::optional<Instant> down_by;
};
SignTimes sign_times(Instant begins, std::optional<Instant> reentry_ends);

}  // namespace leafturn::records
