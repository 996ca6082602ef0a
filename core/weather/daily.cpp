#include "core/weather/daily.hpp"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace leafturn::weather {
namespace {

// Recorded extremes on Earth (WMO World Weather and Climate Extremes Archive, from memory): −89.2 °C, 56.7 °C, 1825 mm in a day.
constexpr Temperature coldest = Temperature::celsius(-90.0);
constexpr Temperature hottest = Temperature::celsius(60.0);
constexpr Length most_rain = Length::millimetres(2000.0);
// A wrong digit in a year would otherwise ask for millions of empty days.
constexpr Days longest_series{300 * 366};

Where field(const char* name) { return {{}, 0, name}; }

Day missing_day(Date d) {
  Day day;
  day.date = d;
  return day;
}

bool possible(Temperature t) { return t >= coldest && t <= hottest; }
bool possible(Length rain) { return rain >= Length{} && rain <= most_rain; }

// The place of `d` in consecutive days, which may lie outside them.
std::ptrdiff_t place(const std::vector<Day>& days, Date d) { return (d - days.front().date).count; }

Temperature between(Temperature a, Temperature b, double share) { return a + (b - a) * share; }

// A recorded extreme stays; what is computed beside it never crosses it.
void fill(Day& day, const Day& before, const Day& after, double share) {
  const std::optional<Temperature> min = day.min;
  const std::optional<Temperature> max = day.max;
  day.min = min ? *min : between(*before.min, *after.min, share);
  day.max = max ? *max : between(*before.max, *after.max, share);
  if (*day.min > *day.max) (max ? day.min : day.max) = max ? day.max : day.min;
  day.filled = true;
}

}  // namespace

Status check_day(const Day& day) {
  for (const auto& [extreme, name] : {std::pair{day.min, "min"}, std::pair{day.max, "max"}})
    if (extreme && !possible(*extreme))
      return fail("weather.impossible", field(name), {{"date", day.date}, {"value", *extreme}, {"low", coldest}, {"high", hottest}});
  if (day.rain && !possible(*day.rain))
    return fail("weather.impossible", field("rain"), {{"date", day.date}, {"value", *day.rain}, {"low", Length{}}, {"high", most_rain}});
  if (day.complete() && *day.min > *day.max)
    return fail("weather.min_above_max", field("max"), {{"date", day.date}, {"min", *day.min}, {"max", *day.max}});
  return {};
}

Result<DailySeries> DailySeries::from_days(std::vector<Day> days) {
  if (days.empty()) return fail("weather.empty");
  const auto earlier = [](const Day& a, const Day& b) { return a.date < b.date; };
  if (!std::is_sorted(days.begin(), days.end(), earlier)) std::stable_sort(days.begin(), days.end(), earlier);
  const Date first = days.front().date;
  const Date last = days.back().date;
  if (last - first > longest_series) return fail("weather.span_too_long", field("date"), {{"first", first}, {"last", last}});
  for (std::size_t i = 0; i < days.size(); ++i) {
    if (i > 0 && days[i].date == days[i - 1].date) return fail("weather.duplicate_date", field("date"), {{"date", days[i].date}});
    if (const Status ok = check_day(days[i]); !ok) return fail(ok.error());
  }
  DailySeries series;
  series.days_.reserve(static_cast<std::size_t>((last - first).count) + 1);
  for (Day& day : days) {
    while (!series.days_.empty() && series.days_.back().date + Days{1} < day.date)
      series.days_.push_back(missing_day(series.days_.back().date + Days{1}));
    series.days_.push_back(std::move(day));
  }
  return series;
}

const Day* DailySeries::find(Date d) const {
  if (days_.empty() || d < first() || d > last()) return nullptr;
  return &days_[static_cast<std::size_t>(place(days_, d))];
}

std::span<const Day> DailySeries::between(Date from, Date to) const {
  if (days_.empty()) return {};
  from = std::max(from, first());
  to = std::min(to, last());
  if (to < from) return {};
  return std::span{days_}.subspan(static_cast<std::size_t>(place(days_, from)), static_cast<std::size_t>((to - from).count) + 1);
}

std::vector<Gap> DailySeries::gaps() const {
  std::vector<Gap> gaps;
  for (const Day& day : days_) {
    if (day.complete()) continue;
    if (!gaps.empty() && gaps.back().last + Days{1} == day.date)
      gaps.back().last = day.date;
    else
      gaps.push_back({day.date, day.date});
  }
  return gaps;
}

DailySeries DailySeries::until(Date last) const {
  DailySeries known;
  if (days_.empty()) return known;
  const auto days = between(first(), last);
  known.days_.assign(days.begin(), days.end());
  return known;
}

DailySeries DailySeries::continued_by(const DailySeries& later) const {
  if (later.empty()) return *this;
  DailySeries joined = until(later.first() - Days{1});
  if (joined.empty()) return later;
  while (joined.last() + Days{1} < later.first()) joined.days_.push_back(missing_day(joined.last() + Days{1}));
  for (const Day& day : later.days_) {
    const Day* own = find(day.date);
    joined.days_.push_back(!day.complete() && own != nullptr && own->complete() ? *own : day);
  }
  return joined;
}

DailySeries fill_gaps(const DailySeries& series, Days longest) {
  std::vector<Day> days(series.days().begin(), series.days().end());
  for (const Gap& gap : series.gaps()) {
    if (gap.length() > longest || gap.first == series.first() || gap.last == series.last()) continue;
    const auto begin = static_cast<std::size_t>((gap.first - series.first()).count);
    const auto length = static_cast<std::size_t>(gap.length().count);
    for (std::size_t i = 0; i < length; ++i)
      fill(days[begin + i], days[begin - 1], days[begin + length], static_cast<double>(i + 1) / static_cast<double>(length + 1));
  }
  if (days.empty()) return {};
  // Between two possible days every point is possible, so this cannot fail.
  return DailySeries::from_days(std::move(days)).value_or(series);
}

}  // namespace leafturn::weather
