#pragma once
/// A station's daily weather: one slot per calendar day, in order, each slot present or missing. Built only by
/// `DailySeries::from_days`, which is where the checks are; everything downstream may rely on them.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/quantity.hpp"
#include "core/base/result.hpp"

namespace leafturn::weather {

/// Where a series was read. Longitude east positive.
struct Site {
  Angle latitude;
  Angle longitude;
  Length elevation;
};

/// One day as recorded. `min`/`max` absent = missing. `filled` = computed from neighbours, never recorded.
struct Day {
  Date date;
  std::optional<Temperature> min;
  std::optional<Temperature> max;
  std::optional<Length> rain;
  bool filled = false;
  bool complete() const { return min && max; }
};

/// A run of days without both extremes.
struct Gap {
  Date first;
  Date last;  ///< inclusive
  Days length() const { return Days{(last - first).count + 1}; }
};

/// One day by itself: `weather.min_above_max` or `weather.impossible`, with the field (`min`, `max`, `rain`) and the date.
Status check_day(const Day& day);

/// Laws: days are consecutive; each has min ≤ max where both are present, both within [−90, 60] °C
/// (the recorded extremes on Earth, WMO World Weather and Climate Extremes Archive, from memory), rain within [0, 2000] mm.
class DailySeries {
 public:
  DailySeries() = default;
  /// `days` in any order. Errors: `weather.duplicate_date`, `weather.min_above_max`, `weather.impossible`, each with the date;
  /// `weather.empty` without any day; `weather.span_too_long` over 300 years (a wrong digit in a year).
  static Result<DailySeries> from_days(std::vector<Day> days);

  bool empty() const { return days_.empty(); }
  Date first() const { return days_.front().date; }
  Date last() const { return days_.back().date; }
  std::span<const Day> days() const { return days_; }
  /// The day, or null outside the series. A day inside a gap is returned with its extremes missing.
  const Day* find(Date d) const;
  /// Days from `from` to `to` inclusive, clipped to the series.
  std::span<const Day> between(Date from, Date to) const;
  /// Runs without both extremes inside [first, last].
  std::vector<Gap> gaps() const;
  /// Up to and including `last`: what was known then. Empty when `last` is before the series.
  DailySeries until(Date last) const;
  /// This series up to the day before `later` begins, then `later`; a day that `later` lacks keeps what this one has. A hole between the
  /// two becomes a gap.
  DailySeries continued_by(const DailySeries& later) const;

 private:
  std::vector<Day> days_;
};

/// Fills gaps of up to `longest` days by straight lines between the neighbours' extremes and flags them; longer gaps and
/// gaps at an end stay (model.md 1). Rain is never filled.
DailySeries fill_gaps(const DailySeries& series, Days longest = Days{3});

/// What a reader noticed and mended, for people: a reason code with facts (`weather.sorted`, `weather.column_ignored`).
struct ReadingNotes {
  std::vector<Reason> notes;
};

}  // namespace leafturn::weather
