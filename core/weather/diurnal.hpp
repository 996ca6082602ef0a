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

/// Hourly means of one day: element h covers hour [h, h+1) of the site's local standard time.
using HourlyDay = std::array<Temperature, 24>;

/// What shapes one day's curve: its extremes, the day before (its evening is this day's early morning) and the next day's minimum.
/// Hours are those of `temperature_at`; the day before's and the next day's are counted from their own midnight.
struct DiurnalDay {
  Temperature min, max;
  Temperature previous_min, previous_max, next_min;
  double sunrise = 6.0, sunset = 18.0;
  double previous_sunrise = 6.0, previous_sunset = 18.0, next_sunrise = 6.0, next_sunset = 18.0;
};

/// Temperature at `hour` (0–24 of the day). Continuous in `hour`, also across midnight into the next day's curve, and never outside the
/// extremes of the days on either side. Days shorter than 4 h or longer than 22 h, where the sun no longer times the extremes: half
/// cosines between a minimum at 3 h and a maximum at 15 h.
Temperature temperature_at(const DiurnalDay& day, double hour);

/// The curve's mean over each hour, by its closed integral.
HourlyDay hourly_means(const DiurnalDay& day);

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

/// The days from `from` to `to` inclusive, clipped to the series.
HourlySeries part_of(const HourlySeries& series, Date from, Date to);

/// `series` should have its short gaps filled (fill_gaps). Where the day before or after is missing, this day's own extremes stand in for
/// it. Hours are local standard time: solar time at the site (day length by the CBM model, equation of time by Spencer 1971) shifted to the
/// nearest whole-hour meridian (a civil clock's summer time moves no bug). O(days).
HourlySeries hourly(const DailySeries& series, const Site& site);

}  // namespace leafturn::weather
