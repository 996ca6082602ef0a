#pragma once
/// Hours of weather for the tests of spray hours.

#include <vector>

#include "core/spray/windows.hpp"

namespace leafturn::spray::test_hours {

inline const weather::Site madison{Angle::degrees(43.07), Angle::degrees(-89.4), Length::metres(0)};
inline Instant at(const char* iso) { return *Instant::parse(iso); }

/// An hour nothing speaks against: 20 °C, 55 %, 5 mph, dry, a little cloud.
inline weather::HourlyReading fair(Instant when) {
  weather::HourlyReading r;
  r.at = when;
  r.temperature = Temperature::celsius(20);
  r.humidity = 0.55;
  r.wind = Speed::miles_per_hour(5);
  r.rain = Length{};
  r.cloud = 0.2;
  return r;
}

/// `hours` fair ones, each changed by `change(row, h)`.
template <class Change>
weather::HourlyReadings hours_from(const char* iso, int hours, Change change) {
  std::vector<weather::HourlyReading> rows;
  for (int h = 0; h < hours; ++h) {
    rows.push_back(fair(at(iso) + Duration::hours(h)));
    change(rows.back(), h);
  }
  return *weather::HourlyReadings::from_readings(std::move(rows));
}

/// Wind told at the nozzle's own height, nothing in flower, nothing wilted.
inline Around plain() {
  Around around;
  around.wind_height = Length::metres(1.0);
  around.in_flower = false;
  around.drought = false;
  return around;
}

/// One limit of noon on a June day whose first hour is changed by `change`.
template <class Change>
LimitFound noon(const SprayLimits& limits, Limit wanted, Change change, const Around& around = plain()) {
  const char* const when = "2026-06-12T17:00Z";  // an hour before the sun's noon at the site
  const auto told = hours_from(when, 30, [&](weather::HourlyReading& r, int h) {
    if (h == 0) change(r);
  });
  const auto found = hour_found(told, at(when), sky_of(at(when), 1, madison).front(), limits, around);
  for (const LimitFound& f : found.limits)
    if (f.limit == wanted) return f;
  return {};
}

}  // namespace leafturn::spray::test_hours
