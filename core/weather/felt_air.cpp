#include "core/weather/felt_air.hpp"

#include <cmath>
#include <cstddef>

namespace leafturn::weather {
namespace {

constexpr std::size_t hours_a_day = 24;

// Each hour of the series, in order, by what was recorded.
class Slots {
 public:
  Slots(Date first, std::size_t days) : first_{first}, temperatures_(days * hours_a_day) {}

  // Index counted from the first day's first hour; may lie outside.
  std::int64_t index(const CivilTime& time) const {
    return std::int64_t{(time.date - first_).count} * std::int64_t{hours_a_day} + time.second_of_day / 3600;
  }
  void set(std::int64_t index, Temperature t) {
    if (index >= 0 && index < static_cast<std::int64_t>(temperatures_.size())) temperatures_[static_cast<std::size_t>(index)] = t;
  }
  // The line from `a` (recorded at `from`) to `b` (recorded at `to`), its ends left out. Ends may lie outside the series.
  void bridge(std::int64_t from, Temperature a, std::int64_t to, Temperature b) {
    const std::int64_t missing = to - from - 1;
    if (missing < 1 || missing > longest_bridged_hours) return;
    for (std::int64_t i = from + 1; i < to; ++i) set(i, a + (b - a) * (static_cast<double>(i - from) / static_cast<double>(to - from)));
  }
  const std::optional<Temperature>& at(std::size_t day, std::size_t hour) const { return temperatures_[day * hours_a_day + hour]; }

 private:
  Date first_;
  std::vector<std::optional<Temperature>> temperatures_;
};

// The day's curve with what was recorded in it; nothing where neither tells an hour.
std::optional<HourlyDay> felt_day(const Slots& slots, std::size_t day, const std::optional<HourlyDay>& curve) {
  HourlyDay hours;
  for (std::size_t h = 0; h < hours_a_day; ++h) {
    if (const auto& recorded = slots.at(day, h))
      hours[h] = *recorded;
    else if (curve)
      hours[h] = (*curve)[h];
    else
      return std::nullopt;
  }
  return hours;
}

}  // namespace

HourlySeries hourly(const DailySeries& series, const Site& site, const HourlyReadings& recorded) {
  HourlySeries out = hourly(series, site);
  if (out.days.empty() || recorded.empty()) return out;
  const double meridian_hours = std::floor(site.longitude.degrees() / 15.0 + 0.5);
  const Zone clock = Zone::fixed(static_cast<std::int32_t>(meridian_hours) * 3600);
  Slots slots{out.first, out.days.size()};
  std::optional<std::int64_t> before;
  Temperature then;
  for (const HourlyReading& row : recorded.rows()) {
    if (!row.temperature) continue;
    const std::int64_t here = slots.index(clock.civil(row.at));
    slots.set(here, *row.temperature);
    if (before) slots.bridge(*before, then, here, *row.temperature);
    before = here;
    then = *row.temperature;
  }
  for (std::size_t d = 0; d < out.days.size(); ++d) out.days[d] = felt_day(slots, d, out.days[d]);
  return out;
}

}  // namespace leafturn::weather
