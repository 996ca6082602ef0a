#include "app/weather_known.hpp"

#include <algorithm>
#include <map>

#include "core/weather/ensemble.hpp"

namespace leafturn::app {
namespace {

using weather::DailySeries;
using weather::Day;

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

const WeatherFile* latest_forecast(const std::vector<WeatherFile>& files, Date today, Date last) {
  const WeatherFile* best = nullptr;
  for (const WeatherFile& file : files)
    if (file.issued && *file.issued <= today && !file.series.empty() && file.series.last() >= today && file.series.first() <= last &&
        // Of one day, the one that reaches furthest: hours for spraying stop sooner than days.
        (best == nullptr || *file.issued > *best->issued || (*file.issued == *best->issued && file.series.last() >= best->series.last())))
      best = &file;
  return best;
}

// The same calendar day of another year, moved to this one.
std::optional<Day> day_of_year(const DailySeries& recorded, Date d, int years_back) {
  const auto then = Date::from_ymd(d.year() - years_back, d.month(), d.month() == 2 && d.day() == 29 ? 28 : d.day());
  const Day* day = then ? recorded.find(*then) : nullptr;
  if (day == nullptr || !day->complete()) return std::nullopt;
  return Day{d, day->min, day->max, day->rain, true};
}

// A day of the last fortnight, repeated from `shift` days in on.
std::optional<Day> day_of_fortnight(const DailySeries& recorded, Date d, int shift) {
  const auto last = recorded.between(recorded.last() - Days{fortnight - 1}, recorded.last());
  for (std::size_t tried = 0; tried < last.size(); ++tried) {
    const auto wanted = static_cast<std::size_t>((d - recorded.last()).count - 1 + shift) + tried;
    if (Day day = last[wanted % last.size()]; day.complete()) {
      day.date = d;
      day.filled = true;
      return day;
    }
  }
  return std::nullopt;
}

// Days from `from` to `to`: the forecast where it has a day, else what `other` says; nothing when a day is left without.
template <class Other>
std::optional<DailySeries> future(const WeatherFile* forecast, Date from, Date to, const Other& other) {
  std::vector<Day> days;
  for (Date d = from; d <= to; d = d + Days{1}) {
    const Day* told = forecast != nullptr ? forecast->series.find(d) : nullptr;
    const std::optional<Day> day = told != nullptr && told->complete() ? *told : other(d);
    if (!day) return std::nullopt;
    days.push_back(*day);
  }
  auto series = DailySeries::from_days(std::move(days));
  return series ? std::optional{std::move(*series)} : std::nullopt;
}

// Days the forecast tells without a hole from `from` on.
std::vector<Day> told_from(const WeatherFile* forecast, Date from, Date to) {
  std::vector<Day> days;
  for (Date d = from; forecast != nullptr && d <= to; d = d + Days{1}) {
    const Day* told = forecast->series.find(d);
    if (told == nullptr || !told->complete()) break;
    days.push_back(*told);
  }
  return days;
}

// Past years brought to where this year stands at the end of what is told; empty when the forecast has a hole that a year must fill.
std::vector<DailySeries> matched_years(const DailySeries& recorded, const WeatherFile* forecast, Date from, Date to) {
  const std::vector<Day> told = told_from(forecast, from, to);
  const Date next = from + Days{static_cast<std::int32_t>(told.size())};
  if (forecast != nullptr && forecast->series.last() >= next) return {};
  DailySeries known = recorded;
  if (!told.empty())
    if (const auto ahead = DailySeries::from_days(told)) known = recorded.continued_by(*ahead);
  weather::EnsembleRequest request;
  request.recorded = &recorded;
  request.known = &known;
  request.from = next;
  request.to = to;
  request.most = most_years;
  std::vector<DailySeries> members;
  for (weather::Member& member : weather::past_years(request)) {
    std::vector<Day> days = told;
    days.insert(days.end(), member.days.days().begin(), member.days.days().end());
    if (auto series = DailySeries::from_days(std::move(days))) members.push_back(std::move(*series));
  }
  return members;
}

// Up to the last day with both extremes: a day at the end that lacks one is still to be guessed.
DailySeries recorded_until(const DailySeries& all, Date last) {
  if (all.empty() || all.first() > last) return {};
  const auto days = all.between(all.first(), last);
  for (std::size_t i = days.size(); i > 0; --i)
    if (days[i - 1].complete()) return all.until(days[i - 1].date);
  return {};
}

}  // namespace

decision::WeatherKnown weather_known(const std::vector<WeatherFile>& files, Date today, int days_ahead) {
  decision::WeatherKnown known;
  known.recorded = recorded_until(joined(files), today - Days{1});
  const Date last = today + Days{days_ahead};
  // A record that stops early is gone on with from where it stops: on days without weather nobody would develop.
  const Date from = known.recorded.empty() ? today : known.recorded.last() + Days{1};
  const WeatherFile* forecast = latest_forecast(files, today, last);
  if (forecast != nullptr) known.forecast_last = std::min(forecast->series.last(), last);
  const auto nothing = [](Date) { return std::optional<Day>{}; };
  if (auto whole = future(forecast, from, last, nothing)) {
    known.members.push_back(std::move(*whole));
  } else if (!known.recorded.empty()) {
    known.members = matched_years(known.recorded, forecast, from, last);
    const bool matched = !known.members.empty();
    for (int back = 1; !matched && back <= 60 && known.members.size() < most_years; ++back)
      if (auto year = future(forecast, from, last, [&](Date d) { return day_of_year(known.recorded, d, back); }))
        known.members.push_back(std::move(*year));
    if (!known.members.empty()) known.future = decision::Future::past_years;
    if (known.members.empty())
      for (int shift = 0; shift < fortnight; shift += 2)
        if (auto days = future(forecast, from, last, [&](Date d) { return day_of_fortnight(known.recorded, d, shift); }))
          known.members.push_back(std::move(*days));
  }
  if (known.members.empty() && forecast != nullptr) {
    const auto days = forecast->series.between(today, last);
    if (auto series = DailySeries::from_days({days.begin(), days.end()})) known.members.push_back(std::move(*series));
  }
  if (forecast != nullptr) known.future = decision::Future::forecast;
  return known;
}

}  // namespace leafturn::app
