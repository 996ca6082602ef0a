#include "core/weather/bed_offset.hpp"

#include <algorithm>
#include <cstddef>

#include "core/base/elementary.hpp"

namespace leafturn::weather {
namespace {

constexpr double mad_to_sd = 1.4826;          // of a normal distribution: 1/Φ⁻¹(3/4)
constexpr double median_to_mean_se = 1.2533;  // of a normal sample, large: √(π/2)
constexpr double coldest = -90.0, hottest = 60.0;

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2.0;
}

std::optional<LearnedOffset> learn(const std::vector<double>& differences) {
  if (differences.size() < static_cast<std::size_t>(least_shared_days)) return std::nullopt;
  const auto n = static_cast<double>(differences.size());
  const double middle = median(differences);
  std::vector<double> away;
  away.reserve(differences.size());
  for (const double d : differences) away.push_back(d < middle ? middle - d : d - middle);
  LearnedOffset learned;
  learned.median = TemperatureSpan::kelvin(middle);
  learned.offset = learned.median * (n / (n + days_of_doubt));
  learned.standard_error = TemperatureSpan::kelvin(median_to_mean_se * mad_to_sd * median(std::move(away)) / num::sqrt(n));
  learned.days = static_cast<int>(differences.size());
  return learned;
}

std::optional<Temperature> moved(const std::optional<Temperature>& t, const std::optional<LearnedOffset>& by) {
  if (!t || !by) return t;
  return Temperature::celsius(std::clamp((*t + by->offset).celsius(), coldest, hottest));
}

}  // namespace

BedOffset learn_offset(const DailySeries& station, const DailySeries& bed) {
  std::vector<double> mins, maxs;
  for (const Day& here : bed.days()) {
    const Day* there = station.find(here.date);
    if (!there || there->filled || here.filled) continue;
    if (here.min && there->min) mins.push_back((*here.min - *there->min).kelvin());
    if (here.max && there->max) maxs.push_back((*here.max - *there->max).kelvin());
  }
  return {learn(mins), learn(maxs)};
}

DailySeries apply(const DailySeries& series, const BedOffset& offset) {
  if (series.empty()) return series;
  std::vector<Day> days(series.days().begin(), series.days().end());
  for (Day& day : days) {
    day.min = moved(day.min, offset.min);
    day.max = moved(day.max, offset.max);
    if (day.complete() && *day.min > *day.max) day.min = day.max = midpoint(*day.min, *day.max);
  }
  auto made = DailySeries::from_days(std::move(days));
  return made ? *made : series;
}

TemperatureSpan lapse(Length difference) { return TemperatureSpan::kelvin(-6.5 * difference.kilometres()); }

}  // namespace leafturn::weather
