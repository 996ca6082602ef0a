#include "core/weather/soil.hpp"

#include "core/base/elementary.hpp"

namespace leafturn::weather {
namespace {

constexpr double lag_days = 5.0;
constexpr double damping = 0.65;
constexpr double wave_lag_hours = 1.6;

double mean_of(const HourlyDay& day) {
  double sum = 0.0;
  for (const Temperature t : day) sum += t.celsius();
  return sum / 24.0;
}

}  // namespace

HourlySeries soil_at_5cm(const HourlySeries& air) {
  HourlySeries soil{air.first, {}};
  soil.days.reserve(air.days.size());
  const double step = 1.0 - num::exp(-1.0 / (24.0 * lag_days));
  std::optional<double> slow;
  // Departures from the day's mean in the last three hours, newest first; the wave is read between the second and the third.
  double before1 = 0.0;
  double before2 = 0.0;
  constexpr double older = wave_lag_hours - 1.0;
  for (const auto& day : air.days) {
    if (!day) {
      soil.days.emplace_back();
      continue;
    }
    const double mean = mean_of(*day);
    if (!slow) slow = mean;
    HourlyDay out;
    for (std::size_t h = 0; h < 24; ++h) {
      const double now = (*day)[h].celsius();
      const double wave = (1.0 - older) * before1 + older * before2;
      out[h] = Temperature::celsius(*slow + damping * wave);
      *slow += step * (now - *slow);
      before2 = before1;
      before1 = now - mean;
    }
    soil.days.emplace_back(out);
  }
  return soil;
}

}  // namespace leafturn::weather
