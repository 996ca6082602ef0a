#pragma once
/// How much colder or warmer a bed is than the station, learned from the bed's own thermometer.

#include <optional>

#include "core/weather/daily.hpp"

namespace leafturn::weather {

/// Common practice, no source: fewer days than this say nothing about a bed.
inline constexpr int least_shared_days = 10;
/// n0 of the shrinking n/(n + n0): a bed is believed to be like the station until about as many days speak against it. Common practice, no
/// source.
inline constexpr double days_of_doubt = 10.0;

/// Bed minus station of one extreme.
struct LearnedOffset {
  TemperatureSpan median;          ///< of the daily differences, as measured
  TemperatureSpan offset;          ///< the median shrunk towards 0 by n/(n + n0): what is applied
  TemperatureSpan standard_error;  ///< of the median: 1.2533·1.4826·MAD/√n, for normal differences from day to day that don't hang together
  int days = 0;                    ///< that both have
};

struct BedOffset {
  std::optional<LearnedOffset> min, max;  ///< nothing with fewer than `least_shared_days`
};

/// Days filled in by either side don't count. Half of the days less one may be wild without moving the median by more than the others
/// allow. Weather comes in spells, so the true error is larger than `standard_error`. O(n log n).
BedOffset learn_offset(const DailySeries& station, const DailySeries& bed);

/// The station's days as they would be in the bed: each extreme moved by its offset, not at all where it wasn't learned. Where the two
/// would cross, both become their mean; none leaves the limits of DailySeries. Rain and `filled` stay.
DailySeries apply(const DailySeries& series, const BedOffset& offset);

/// Temperature change from a place to one `difference` higher: −6.5 K/km, the ICAO standard atmosphere (from memory). An average of the
/// free air; a valley floor on a clear night is colder than the slope above it. For a bed without a thermometer.
TemperatureSpan lapse(Length difference);

}  // namespace leafturn::weather
