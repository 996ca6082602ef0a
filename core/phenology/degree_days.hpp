#pragma once
/// Degree-days by the classical daily methods, exactly as published.
/// Thresholds and curves: Baskerville & Emin 1969 (Ecology 50:514–517, sine), Lindsey & Newman 1956 (Ecology 37:812–823, triangle), Allen
/// 1976 (Environ. Entomol. 5:388–396, double sine), Zalom et al. 1983 (Univ. California Leaflet 21373, cutoffs) — from memory; the values
/// are checked in tests/phenology against quadrature of the stated curves.

#include <optional>
#include <vector>

#include "core/base/quantity.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::phenology {

enum class Method { average, single_triangle, double_triangle, single_sine, double_sine };

/// What happens above the upper threshold: the rate stays at its highest (`horizontal`), falls as steeply as it rose (`intermediate`; not
/// clamped at zero, as published), is zero (`vertical`), or there is no upper threshold (`none`).
enum class Cutoff { horizontal, intermediate, vertical, none };

struct Thresholds {
  Temperature lower;
  std::optional<Temperature> upper;  ///< needed by every cutoff but `none`
};

/// One day's sum. `next_min` is used by the double methods only, capped at `max`. `average` is max(0, mean − lower), whatever the cutoff:
/// an average knows no hour above `upper`. A flat day (min = max) gives the rate itself. Absolute error below 1e-13 C d within the range of
/// DailySeries, also where a threshold lies within rounding of an extreme. Preconditions: min ≤ max, lower ≤ upper.
DegreeDays degree_days(Method method, Cutoff cutoff, const Thresholds& thresholds, Temperature min, Temperature max, Temperature next_min);

struct DegreeDayRow {
  Date date;
  std::optional<Temperature> min, max;    ///< as used: filled where `filled`
  std::optional<DegreeDays> degree_days;  ///< absent inside a gap that could not be filled
  DegreeDays sum;                         ///< over the days present so far
  bool filled = false;
};

struct DegreeDayTable {
  std::vector<DegreeDayRow> rows;
  std::vector<weather::Gap> gaps;  ///< days of [from, to] without weather, not fillable: the sum leaves them out
};

/// From `from` to `to` inclusive, one row per day of the series among them. Gaps of up to three days are filled first. The double methods
/// use the day after, also past `to`, when the series has it; without one, the day's own minimum. Days of the range before or after the
/// series count as gaps. Errors: `degree_days.no_upper`, `degree_days.thresholds` (upper not above lower), `degree_days.backwards` (to
/// before from), `degree_days.outside` (no day of the range is in the series), `degree_days.no_weather` (an empty series).
Result<DegreeDayTable> accumulate(const weather::DailySeries& series, Date from, Date to, Method method, Cutoff cutoff,
                                  const Thresholds& thresholds);

}  // namespace leafturn::phenology
