#pragma once
/// Hourly temperatures between a day's extremes.
/// The curve: Parton & Logan 1981 (Agric. Meteorol. 23:205–216) with a = 1.86 h, b = 2.2, c = −0.17 h — minimum shortly before
/// sunrise, maximum in mid-afternoon, exponential fall at night — displaced so that each night ends exactly at the next
/// day's minimum (Kimball & Bellamy 1986, Energy Agric. 5:185–197).

#include <array>
#include <optional>
#include <vector>

#include "core/weather/daily.hpp"

namespace leafturn::weather {

/// Hourly means of one day: element h covers local solar-ish civil hour [h, h+1).
using HourlyDay = std::array<Temperature, 24>;

/// Temperature at `hour` (0–24 of local civil time) on a day with these extremes. `previous_max` and `next_min` shape the two
/// nights; `sunrise`/`sunset` in the same hours. Continuous in `hour`, also across midnight, and never outside the
/// extremes on either side. Polar day or night (day length 0 or 24): a sine with its maximum at 15 h.
struct DiurnalDay {
  Temperature min, max;
  Temperature previous_max, next_min;
  double sunrise = 6.0, sunset = 18.0;
  double previous_sunset = 18.0, next_sunrise = 6.0;
};
Temperature temperature_at(const DiurnalDay& day, double hour);

/// Hourly temperatures for consecutive days. A day without both extremes is nullopt.
struct HourlySeries {
  Date first;
  std::vector<std::optional<HourlyDay>> days;
  const HourlyDay* find(Date d) const {
    const auto i = (d - first).count;
    if (i < 0 || static_cast<std::size_t>(i) >= days.size() || !days[static_cast<std::size_t>(i)]) return nullptr;
    return &*days[static_cast<std::size_t>(i)];
  }
};

/// `series` should have its short gaps filled (fill_gaps). Hours are local standard time: solar time at the site shifted to
/// the nearest whole-hour meridian (a civil clock's summer time moves no bug).
HourlySeries hourly(const DailySeries& series, const Site& site);

}  // namespace leafturn::weather
