#pragma once
/// Degree-days by the classical daily methods, exactly as published.
/// Thresholds and curves: Baskerville & Emin 1969 (Ecology 50:514–517, sine), Lindsey & Newman 1956 (Ecology 37:812–823, triangle), Allen 1976
/// (Environ. Entomol. 5:388–396, double sine), Zalom et al. 1983 (Univ. California Leaflet 21373, cutoffs) — from memory; the values are
/// checked in tests/phenology against quadrature of the stated curves.

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

/// One day's sum. `next_min` is used by the double methods only, capped at `max`. `average` is max(0, mean − lower) with the mean capped
/// at `upper` unless the cutoff is `none`. Absolute error below 1e-12 of the temperature span. A flat day (min = max) gives the rate itself.
/// Preconditions: min ≤ max, lower ≤ upper.
DegreeDays degree_days(Method method, Cutoff cutoff, const Thresholds& thresholds, Temperature min, Temperature max, Temperature next_min);

struct DegreeDayRow {
  Date date;
  std::optional<Temperature> min, max;     ///< as used: filled where `filled`
  std::optional<DegreeDays> degree_days;   ///< absent inside a gap that could not be filled
  DegreeDays sum;                          ///< over the days present so far
  bool filled = false;
};

struct DegreeDayTable {
  std::vector<DegreeDayRow> rows;
  std::vector<weather::Gap> gaps;  ///< unfillable days inside [from, to]: the sum leaves them out
};

/// From `from` to `to` inclusive. Gaps of up to three days are filled first. The day after `to` is used by the double methods when the series has
/// it; without one, the day's own minimum. Errors: `degree_days.outside` when no day of the range is in the series;
/// `degree_days.thresholds` when upper is missing or not above lower.
Result<DegreeDayTable> accumulate(const weather::DailySeries& series, Date from, Date to, Method method, Cutoff cutoff, const Thresholds& thresholds);

}  // namespace leafturn::phenology
