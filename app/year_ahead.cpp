#include "app/year_ahead.hpp"

#include <utility>

namespace leafturn::app {
namespace {

using weather::DailySeries;
using weather::Day;

constexpr std::size_t most_members = 12;  // more say little and cost time
constexpr int most_years_back = 60;

/// The days from `from` to `to` as they were `back` years ago; nothing when one is missing.
std::optional<std::vector<Day>> as_then(const DailySeries& recorded, Date from, Date to, int back) {
  std::vector<Day> days;
  for (Date d = from; d <= to; d = d + Days{1}) {
    const auto then = Date::from_ymd(d.year() - back, d.month(), d.month() == 2 && d.day() == 29 ? 28 : d.day());
    const Day* day = then ? recorded.find(*then) : nullptr;
    if (day == nullptr || !day->complete()) return std::nullopt;
    days.push_back({d, day->min, day->max, day->rain, true});
  }
  return days;
}

std::optional<DailySeries> continued(const DailySeries& member, std::vector<Day> later) {
  std::vector<Day> days{member.days().begin(), member.days().end()};
  days.insert(days.end(), later.begin(), later.end());
  auto series = DailySeries::from_days(std::move(days));
  return series ? std::optional{std::move(*series)} : std::nullopt;
}

}  // namespace

YearAhead year_ahead(const std::vector<WeatherFile>& files, Date today) {
  YearAhead out;
  out.known = weather_known(files, today);
  auto& known = out.known;
  const Date end = *Date::from_ymd(today.year(), 12, 31);
  if (known.members.empty() || known.recorded.empty()) return out;
  const Date from = known.members.front().last() + Days{1};
  if (from > end) {
    out.whole_year = true;
    return out;
  }
  const DailySeries filled = weather::fill_gaps(known.recorded);
  std::vector<DailySeries> longer;
  for (int back = 1; back <= most_years_back && longer.size() < most_members; ++back)
    if (auto later = as_then(filled, from, end, back))
      if (auto series = continued(known.members[longer.size() % known.members.size()], std::move(*later)))
        longer.push_back(std::move(*series));
  if (longer.empty()) return out;
  known.members = std::move(longer);
  out.whole_year = true;
  return out;
}

}  // namespace leafturn::app
