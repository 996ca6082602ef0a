#pragma once
/// What looks wrong in a station's days, as reasons with facts. Nothing is mended here and nothing is refused: a person decides.
///
/// The normal of a calendar day is the median over all years of the 31 days around it; its spread the median absolute deviation × 1.4826
/// (the factor that makes it a standard deviation for normal data; Hampel 1974, J. Am. Stat. Assoc. 69:383–393, from memory), at least
/// 1 K. Fewer than 25 readings around a day: no normal, and nothing is said that needs one.

#include <vector>

#include "core/weather/daily.hpp"

namespace leafturn::weather {

struct Finding {
  Reason reason;  ///< `quality.…`
  Date first, last;
};

struct YearCount {
  int year = 0;
  int days = 0;     ///< of the series in this year
  int missing = 0;  ///< without both extremes
};

struct Quality {
  Date first, last;
  int days = 0;
  int complete = 0;  ///< days with both extremes
  int filled = 0;    ///< days in gaps short enough for fill_gaps
  std::vector<YearCount> years;
  std::vector<Gap> gaps;
  std::vector<Finding> findings;  ///< by kind, then by day
};

/// The findings:
///   - `quality.long_gap`: more than 3 days without both extremes.
///   - `quality.stuck`: the same minimum and the same maximum for 5 days or more.
///   - `quality.equal_extremes`: days whose minimum is their maximum, outside stuck runs.
///   - `quality.spike`: an extreme more than 5 spreads from its normal and more than 15 K from that of both neighbours.
///   - `quality.read_as_celsius`, `quality.read_as_fahrenheit`: 3 days or more in a row whose extremes are on average over 4 spreads from
///     normal, but within 2 when numbers in °F had been taken for °C, or the other way round.
Quality examine(const DailySeries& series);

}  // namespace leafturn::weather
