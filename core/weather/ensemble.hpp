#pragma once
/// The future past the last known day, as the same station's past years went on, each brought to where this year stands (model.md 1).

#include <vector>

#include "core/weather/daily.hpp"
#include "core/weather/normals.hpp"

namespace leafturn::weather {

struct EnsembleRequest {
  const DailySeries* recorded = nullptr;  ///< past years and this one
  /// Recorded days of this year, then the forecast's: the days whose end the past years are matched to.
  const DailySeries* known = nullptr;
  Date from, to;           ///< days wanted, from the day after the last known one on
  std::size_t most = 12;   ///< years, the latest first
  bool matched = true;     ///< false: as they were
  int first_back = 1;      ///< how many years back the first is; tests leave a year out by choosing `years`
  std::vector<int> years;  ///< if not empty, exactly these
};

struct Member {
  int year = 0;
  DailySeries days;  ///< every day of [from, to], marked as filled
};

/// One member a past year that has both extremes on every day wanted; 29 February falls on the 28th of a shorter year.
///
/// **Matching.** A spell lasts: the anomaly `lead` days past the last known day is Persistence::…_left(lead) of the mean anomaly of the
/// last three known days, and the past year's own days carry the same part of its own last three. So each of its days is shifted by
/// left(lead)·(this year's spell − its spell), lows and highs by themselves; where they would cross, both become their mean. For a
/// first-order autoregressive climate that makes the members draws from the true conditional distribution. Without normals (fewer than
/// three whole past years), or without three known days, nothing is shifted.
std::vector<Member> past_years(const EnsembleRequest& request);

}  // namespace leafturn::weather
