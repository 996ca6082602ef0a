#include "io/weather_hours.hpp"

#include <algorithm>
#include <cstddef>

namespace leafturn::io {
namespace {
constexpr std::size_t hours_needed = 20;
}

void HoursByDay::take(const CivilTime& time, std::optional<Temperature> reading, std::optional<Length> rain) {
  Hours& day = hours_[time.date];
  const auto hour = static_cast<std::size_t>(time.second_of_day / 3600);
  if (reading) {
    day.min = day.min ? std::min(*day.min, *reading) : *reading;
    day.max = day.max ? std::max(*day.max, *reading) : *reading;
    day.seen.set(hour);
  }
  if (rain) {
    day.rain += *rain;
    day.rain_seen.set(hour);
  }
}

std::vector<weather::Day> HoursByDay::days(bool times_in_utc, std::optional<std::int32_t> offset_seconds,
                                           std::vector<Reason>& notes) const {
  std::vector<weather::Day> days;
  std::int64_t short_days = 0;
  for (const auto& [date, hours] : hours_) {
    weather::Day day;
    day.date = date;
    if (hours.seen.count() >= hours_needed) {
      day.min = hours.min;
      day.max = hours.max;
    } else {
      ++short_days;
    }
    if (hours.rain_seen.count() >= hours_needed) day.rain = hours.rain;
    days.push_back(day);
  }
  notes.push_back({"weather.hourly_reduced", {{"days", static_cast<std::int64_t>(hours_.size())}}});
  if (times_in_utc && offset_seconds) notes.push_back({"weather.hourly_days_at_offset", {{"offset", Zone::fixed(*offset_seconds).name()}}});
  if (times_in_utc && !offset_seconds) notes.push_back({"weather.hourly_days_utc", {}});
  if (short_days > 0)
    notes.push_back({"weather.hours_missing", {{"days", short_days}, {"needed", static_cast<std::int64_t>(hours_needed)}}});
  return days;
}

}  // namespace leafturn::io
