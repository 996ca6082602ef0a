#include "io/weather_hours.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>

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
    std::optional<Length>& told = day.rain[hour];
    told = told ? std::max(*told, *rain) : *rain;
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
    std::size_t told = 0;
    Length rain;
    for (const auto& hour : hours.rain) {
      if (!hour) continue;
      rain += *hour;
      ++told;
    }
    if (told >= hours_needed) day.rain = rain;
    days.push_back(day);
  }
  notes.push_back({"weather.hourly_reduced", {{"days", static_cast<std::int64_t>(hours_.size())}}});
  if (times_in_utc && offset_seconds) notes.push_back({"weather.hourly_days_at_offset", {{"offset", Zone::fixed(*offset_seconds).name()}}});
  if (times_in_utc && !offset_seconds) notes.push_back({"weather.hourly_days_utc", {}});
  if (short_days > 0)
    notes.push_back({"weather.hours_missing", {{"days", short_days}, {"needed", static_cast<std::int64_t>(hours_needed)}}});
  return days;
}

namespace {

constexpr std::int64_t hour_us = 3600LL * 1000000LL;

// The floor of the time in hours, before 1970 too.
std::int64_t hour_of(Instant at) {
  const std::int64_t us = at.unix_microseconds();
  return us / hour_us - (us % hour_us < 0 ? 1 : 0);
}

// `row` comes after what `hour` was made of.
void add_to(weather::HourlyReading& hour, const weather::HourlyReading& row) {
  if (row.temperature) {
    hour.temperature = row.temperature;
    hour.dew_point = row.dew_point;
    hour.humidity = row.humidity;
  }
  if (row.wind) {
    hour.wind = row.wind;
    hour.wind_from = row.wind_from;
  }
  if (row.pressure) hour.pressure = row.pressure;
  if (row.gust && (!hour.gust || *row.gust > *hour.gust)) hour.gust = row.gust;
  if (row.rain && (!hour.rain || *row.rain > *hour.rain)) hour.rain = row.rain;
}

}  // namespace

Result<weather::HourlyReadings> RowsOfHours::readings(std::vector<Reason>& notes) {
  std::stable_sort(rows_.begin(), rows_.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
  std::vector<weather::HourlyReading> hours;
  std::int64_t several = 0;
  bool counted = false;
  for (const weather::HourlyReading& row : rows_) {
    if (hours.empty() || hour_of(row.at) != hour_of(hours.back().at)) {
      hours.push_back(row);
      counted = false;
      continue;
    }
    if (row.rain && hours.back().rain && !counted) {
      ++several;
      counted = true;
    }
    add_to(hours.back(), row);
  }
  if (several > 0) notes.push_back({"weather.rain_running_total", {{"hours", several}}});
  return weather::HourlyReadings::from_readings(std::move(hours));
}

}  // namespace leafturn::io
