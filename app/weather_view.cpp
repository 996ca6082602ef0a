#include "app/weather_view.hpp"

#include <algorithm>

#include "app/materials.hpp"
#include "core/weather/normals.hpp"

namespace leafturn::app {
namespace {

constexpr int days_back = 30;
constexpr std::size_t most_ahead = 21;
constexpr int late_days = 2;  // a record that ends the day before yesterday may still be on its way

SpreadDay spread(std::vector<Temperature> values) {
  std::sort(values.begin(), values.end());
  const auto at = [&](double share) { return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)]; };
  return {at(0.1), at(0.5), at(0.9)};
}

std::vector<FutureDay> futures(const std::vector<weather::DailySeries>& members, std::optional<Date> forecast_last,
                               std::optional<Date> recorded_last) {
  std::vector<FutureDay> out;
  if (members.empty()) return out;
  Date d = members.front().first();
  if (recorded_last && *recorded_last >= d) d = *recorded_last + Days{1};
  for (; out.size() < most_ahead; d = d + Days{1}) {
    std::vector<Temperature> mins, maxs;
    for (const auto& member : members)
      if (const weather::Day* day = member.find(d); day != nullptr && day->complete()) {
        mins.push_back(*day->min);
        maxs.push_back(*day->max);
      }
    if (mins.size() < members.size()) break;
    out.push_back({d, forecast_last && d <= *forecast_last, spread(std::move(mins)), spread(std::move(maxs))});
  }
  return out;
}

Result<std::vector<WeatherFileView>> files_of(OpenGarden& garden, const garden::Garden& state) {
  std::vector<WeatherFileView> out;
  for (const auto& added : state.weather) {
    auto text = garden.ledger().blob_get(added.what.text);
    if (!text) return fail(text.error());
    auto file = read_added_weather(*text, added.what, state);
    if (!file) return fail(file.error());
    WeatherFileView view;
    view.name = added.what.name;
    view.issued = file->issued;
    if (!file->series.empty()) {
      view.first = file->series.first();
      view.last = file->series.last();
      for (const auto& day : file->series.days()) view.days += day.complete() ? 1 : 0;
      view.findings = weather::examine(file->series).findings;
    }
    std::erase_if(out, [&](const WeatherFileView& f) { return f.name == view.name; });
    out.push_back(std::move(view));
  }
  return out;
}

std::vector<weather::Gap> gaps_of_this_year(const weather::DailySeries& recorded, int year) {
  std::vector<weather::Gap> out;
  for (const auto& gap : weather::fill_gaps(recorded).gaps())
    if (gap.last.year() == year) out.push_back(gap);
  return out;
}

void say(WeatherView& view, Date today) {
  const auto& ground = view.ground;
  if (!ground.weather_last) {
    view.says.push_back({"weather_view.none", {}});
    return;
  }
  const int late = (today - *ground.weather_last).count;
  if (late > late_days) view.says.push_back({"weather_view.stale", {{"last", *ground.weather_last}, {"days", std::int64_t{late}}}});
  for (const auto& gap : view.gaps)
    view.says.push_back({"weather_view.gap", {{"first", gap.first}, {"last", gap.last}, {"days", std::int64_t{gap.length().count}}}});
  if (late <= late_days && view.gaps.empty()) view.says.push_back({"weather_view.good", {}});
  if (ground.future != decision::Future::forecast) view.says.push_back({"weather_view.no_forecast", {}});
  if (view.usual_years == 0) view.says.push_back({"weather_view.few_years", {}});
}

}  // namespace

Result<WeatherView> weather_view(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto air = garden_air(garden, at, now);
  if (!air) return fail(air.error());
  WeatherView view;
  view.ground = std::move(air->answer);
  auto files = files_of(garden, view.ground.garden);
  if (!files) return fail(files.error());
  view.files = std::move(*files);
  const Date today = view.ground.day;
  const auto& recorded = air->weather.recorded;
  view.members = air->weather.members.size();
  view.future = futures(air->weather.members, view.ground.forecast_last, view.ground.weather_last);
  if (!recorded.empty()) {
    view.recorded_first = recorded.first();
    view.gaps = gaps_of_this_year(recorded, today.year());
    const auto filled = weather::fill_gaps(recorded);
    const auto days = filled.between(today - Days{days_back}, today - Days{1});
    view.days.assign(days.begin(), days.end());
    if (const auto normals = weather::Normals::from(recorded, today.year())) {
      view.usual_years = normals->years().size();
      const auto add = [&](Date d) { view.usual.push_back({d, normals->min_on(d).mean, normals->max_on(d).mean}); };
      for (const auto& day : view.days) add(day.date);
      for (const auto& day : view.future) add(day.date);
    }
  }
  say(view, today);
  return view;
}

}  // namespace leafturn::app
