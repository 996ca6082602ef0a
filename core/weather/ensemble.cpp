#include "core/weather/ensemble.hpp"

#include <algorithm>
#include <optional>

namespace leafturn::weather {
namespace {

Date in_year(Date d, int year) {
  const auto same = Date::from_ymd(year, d.month(), d.day());
  return same ? *same : *Date::from_ymd(year, 2, 28);
}

/// Mean anomaly of the three days up to `last`, shifted to another year.
struct Spell {
  TemperatureSpan min, max;
};

std::optional<Spell> spell_before(const DailySeries& series, const Normals& normals, Date last) {
  Spell out;
  for (int back = 0; back < Persistence::spell; ++back) {
    const Day* day = series.find(last - Days{back});
    if (day == nullptr || !day->complete()) return std::nullopt;
    out.min += *normals.anomaly_min(*day) / Persistence::spell;
    out.max += *normals.anomaly_max(*day) / Persistence::spell;
  }
  return out;
}

std::optional<DailySeries> as_it_was(const EnsembleRequest& request, int year) {
  std::vector<Day> days;
  const int apart = request.from.year() - year;
  for (Date d = request.from; d <= request.to; d = d + Days{1}) {
    const Day* then = request.recorded->find(in_year(d, d.year() - apart));
    if (then == nullptr || !then->complete()) return std::nullopt;
    days.push_back({d, then->min, then->max, then->rain, true});
  }
  auto series = DailySeries::from_days(std::move(days));
  return series ? std::optional{std::move(*series)} : std::nullopt;
}

DailySeries shifted(const DailySeries& series, const Persistence& left, const Spell& now, const Spell& then) {
  std::vector<Day> days(series.days().begin(), series.days().end());
  for (std::size_t i = 0; i < days.size(); ++i) {
    const int lead = static_cast<int>(i) + 1;
    Day& day = days[i];
    day.min = *day.min + (now.min - then.min) * left.min_left(lead);
    day.max = *day.max + (now.max - then.max) * left.max_left(lead);
    if (*day.min > *day.max) day.min = day.max = *day.min + (*day.max - *day.min) * 0.5;
  }
  auto out = DailySeries::from_days(std::move(days));
  return out ? *out : series;
}

std::vector<int> candidates(const EnsembleRequest& request) {
  if (!request.years.empty()) return request.years;
  std::vector<int> years;
  const int this_year = request.from.year();
  for (int year = this_year - request.first_back; year >= request.recorded->first().year(); --year) years.push_back(year);
  return years;
}

}  // namespace

std::vector<Member> past_years(const EnsembleRequest& request) {
  std::vector<Member> members;
  if (request.recorded == nullptr || request.recorded->empty() || request.to < request.from) return members;
  std::optional<Normals> normals;
  std::optional<Spell> now;
  Persistence left;
  const Date last_known = request.from - Days{1};
  if (request.matched && request.known != nullptr) {
    normals = Normals::from(*request.recorded, request.from.year());
    if (normals) now = spell_before(*request.known, *normals, last_known);
    if (now) left = Persistence::from(*request.recorded, *normals);
  }
  for (const int year : candidates(request)) {
    if (members.size() == request.most) break;
    auto days = as_it_was(request, year);
    if (!days) continue;
    if (now)
      if (const auto then =
              spell_before(*request.recorded, *normals, in_year(last_known, year - (request.from.year() - last_known.year()))))
        days = shifted(*days, left, *now, *then);
    members.push_back({year, std::move(*days)});
  }
  return members;
}

}  // namespace leafturn::weather
