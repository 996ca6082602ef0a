#pragma once
/// The temperature a bug feels, hour by hour: what was recorded in the hour where anything was, else what the day's curve says.

#include "core/weather/diurnal.hpp"
#include "core/weather/readings.hpp"

namespace leafturn::weather {

/// Between two recorded hours at most this many may be missing to be bridged by a straight line; longer gaps follow the curve, because a
/// line across a night or a noon would cut off its extreme.
inline constexpr int longest_bridged_hours = 3;

/// The days of `series`, as `hourly(series, site)`, with recorded hours put in their place.
/// Hours are those of the site's standard time (the nearest whole-hour meridian). An hour's recorded temperature is returned as it is: it
/// may lie outside the day's extremes where those are another thermometer's. A day without recorded hours, and without a bridged one,
/// equals the curve. A day without extremes is there only if every one of its hours is recorded or bridged. Recorded hours outside the
/// series' days add no day. At the edge of a long gap the recorded hours and the curve may differ: nothing is smoothed. O(days + hours).
HourlySeries hourly(const DailySeries& series, const Site& site, const HourlyReadings& recorded);

}  // namespace leafturn::weather
