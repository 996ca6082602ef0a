#include "app/weather_known.hpp"

#include <algorithm>
#include <map>

namespace leafturn::app {
namespace {

using weather::DailySeries;
using weather::Day;

constexpr int days_ahead = decision::horizon + 2;
constexpr int most_years = 12;  // members: more say little and cost time
constexpr int fortnight = 14;

DailySeries joined(const std::vector<WeatherFile>& files) {
  std::map<Date, Day> by_date;
  for (const WeatherFile& file : files) {
    if (file.issued) continue;
    for (const Day& day : file.series.days())
      if (day.complete() || !by_date.contains(day.date)) by_date[day.date] = day;
  }
  std::vector<Day> all;
  all.reserve(by_date.size());
  for (const auto& [date, day] : by_date) all.push_back(day);
  if (all.empty()) return {};
  auto series = DailySeries::from_days(std::move(all));
  return series ? *series : DailySeries{};
}

const WeatherFile* latest_forecast(const std::vector<WeatherFile>& files, Date today) {
  const WeatherFile* best = nullptr;
  for (const WeatherFile& file : files)
    if (file.issued && *file.issued <= today && !file.series.empty() && file.series.last() >= today && (best == nullptr || *file.issued >= *best->issued))
      best = &file;
  return best;
}

// The same calendar days of another year, moved to this one; nothing when any is missing.
std::vector<Day> days_of_year(const DailySeries& recorded, Date from, Date to, int years_back) {
  std::vector<Day> days;
  for (Date d = from; d <= to; d = d + Days{1}) {
    const auto then = Date::from_ymd(d.year() - years_back, d.month(), d.month() == 2 && d.day() == 29 ? 28 : d.day());
    const Day* day = then ? recorded.find(*then) : nullptr;
    if (day == nullptr || !day->complete()) return {};
    days.push_back({d, day->min, day->max, day->rain, true});
  }
  return days;
}

// The last fortnight repeated, begun `shift` days in.
std::vector<Day> days_of_fortnight(const DailySeries& recorded, Date from, Date to, int shift) {
  std::vector<Day> last;
  for (const Day& day : recorded.between(recorded.last() - Days{fortnight - 1}, recorded.last()))
    if (day.complete()) last.push_back(day);
  std::vector<Day> days;
  if (last.empty()) return days;
  for (Date d = from; d <= to; d = d + Days{1}) {
    Day day = last[static_cast<std::size_t>((d - from).count + shift) % last.size()];
    day.date = d;
    day.filled = true;
    days.push_back(day);
  }
  return days;
}

}  // namespace

decision::WeatherKnown weather_known(const std::vector<WeatherFile>& files, Date today) {
  decision::WeatherKnown known;
  const DailySeries all = joined(files);
  const Date yesterday = today - Days{1};
  if (!all.empty() && all.first() <= yesterday) known.recorded = all.until(yesterday);
  const Date last = today + Days{days_ahead};
  std::vector<Day> begin;
  if (const WeatherFile* forecast = latest_forecast(files, today)) {
    const auto days = forecast->series.between(today, last);
    begin.assign(days.begin(), days.end());
    known.forecast_last = begin.back().date;
  }
  const Date from = known.forecast_last ? *known.forecast_last + Days{1} : today;
  const auto add = [&](std::vector<Day> rest) {
    std::vector<Day> days = begin;
    days.insert(days.end(), rest.begin(), rest.end());
    if (auto series = DailySeries::from_days(std::move(days))) known.members.push_back(std::move(*series));
  };
  if (from > last) {
    add({});
  } else if (!known.recorded.empty()) {
    for (int back = 1; back <= 60 && known.members.size() < most_years; ++back)
      if (auto rest = days_of_year(known.recorded, from, last, back); !rest.empty()) add(std::move(rest));
    if (!known.members.empty()) known.future = decision::Future::past_years;
    if (known.members.empty())
      for (int shift = 0; shift < fortnight; shift += 2)
        if (auto rest = days_of_fortnight(known.recorded, from, last, shift); !rest.empty()) add(std::move(rest));
  }
  if (known.members.empty() && !begin.empty()) add({});
  if (known.forecast_last) known.future = decision::Future::forecast;
  return known;
}

}  // namespace leafturn::app
