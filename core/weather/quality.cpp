#include "core/weather/quality.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <utility>

namespace leafturn::weather {
namespace {

constexpr int calendar_days = 366;
constexpr int window = 15;  // days on either side
constexpr std::size_t readings_needed = 25;
constexpr double median_to_spread = 1.4826;
constexpr double least_spread_k = 1.0;
constexpr int stuck_days = 5;
constexpr double spike_spreads = 5.0;
constexpr TemperatureSpan spike_jump = TemperatureSpan::kelvin(15.0);
constexpr int swapped_days = 3;
constexpr double swapped_from = 4.0;
constexpr double swapped_to = 2.0;
constexpr Days fillable{3};

using Extreme = std::optional<Temperature> Day::*;
constexpr std::array<Extreme, 2> extremes{&Day::min, &Day::max};

struct Normal {
  bool known = false;
  double median_c = 0.0, spread_k = 0.0;
  double spreads_off(double celsius) const { return std::abs(celsius - median_c) / spread_k; }
};
using Normals = std::array<std::array<Normal, calendar_days>, 2>;

double median(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Normals normals_of(const DailySeries& series) {
  std::array<std::array<std::vector<double>, calendar_days>, 2> readings;
  for (const Day& day : series.days())
    for (std::size_t e = 0; e < extremes.size(); ++e)
      if (const auto& value = day.*extremes[e])
        readings[e][static_cast<std::size_t>(day.date.day_of_year() - 1)].push_back(value->celsius());
  Normals normals;
  std::vector<double> around;
  for (std::size_t e = 0; e < extremes.size(); ++e)
    for (int d = 0; d < calendar_days; ++d) {
      around.clear();
      for (int k = -window; k <= window; ++k) {
        const auto& day = readings[e][static_cast<std::size_t>((d + k + calendar_days) % calendar_days)];
        around.insert(around.end(), day.begin(), day.end());
      }
      if (around.size() < readings_needed) continue;
      Normal& normal = normals[e][static_cast<std::size_t>(d)];
      normal.known = true;
      normal.median_c = median(around);
      for (double& value : around) value = std::abs(value - normal.median_c);
      normal.spread_k = std::max(least_spread_k, median_to_spread * median(around));
    }
  return normals;
}

class Examiner {
 public:
  explicit Examiner(const DailySeries& series) : days_{series.days()}, normals_{normals_of(series)}, in_run_(days_.size(), false) {}

  void look(std::vector<Finding>& findings) {
    swapped(findings);
    stuck(findings);
    equal_extremes(findings);
    spikes(findings);
  }

 private:
  const Normal& normal(std::size_t extreme, const Day& day) const {
    return normals_[extreme][static_cast<std::size_t>(day.date.day_of_year() - 1)];
  }

  void mark(std::size_t from, std::size_t to) { std::fill(in_run_.begin() + offset(from), in_run_.begin() + offset(to), true); }
  static std::ptrdiff_t offset(std::size_t i) { return static_cast<std::ptrdiff_t>(i); }

  void stuck(std::vector<Finding>& findings) {
    for (std::size_t i = 0; i < days_.size();) {
      std::size_t end = i + 1;
      if (days_[i].complete())
        while (end < days_.size() && days_[end].complete() && *days_[end].min == *days_[i].min && *days_[end].max == *days_[i].max) ++end;
      if (end - i >= std::size_t{stuck_days}) {
        findings.push_back({{"quality.stuck",
                             {{"days", static_cast<std::int64_t>(end - i)},
                              {"first", days_[i].date.iso()},
                              {"last", days_[end - 1].date.iso()},
                              {"min", *days_[i].min},
                              {"max", *days_[i].max}}},
                            days_[i].date,
                            days_[end - 1].date});
        mark(i, end);
      }
      i = end;
    }
  }

  void equal_extremes(std::vector<Finding>& findings) const {
    std::int64_t count = 0;
    Date first, last;
    for (std::size_t i = 0; i < days_.size(); ++i) {
      if (!days_[i].complete() || in_run_[i] || !(*days_[i].min == *days_[i].max)) continue;
      if (count++ == 0) first = days_[i].date;
      last = days_[i].date;
    }
    if (count == 0) return;
    findings.push_back({{"quality.equal_extremes", {{"days", count}, {"first", first.iso()}, {"last", last.iso()}}}, first, last});
  }

  // How far off a day is, in spreads, averaged over its extremes; negative when a normal is lacking.
  template <class Read>
  double off(const Day& day, const Read& read) const {
    double sum = 0.0;
    for (std::size_t e = 0; e < extremes.size(); ++e) {
      if (!normal(e, day).known) return -1.0;
      sum += normal(e, day).spreads_off(read(*(day.*extremes[e])));
    }
    return sum / static_cast<double>(extremes.size());
  }

  void swapped(std::vector<Finding>& findings) {
    const auto plain = [](Temperature t) { return t.celsius(); };
    // What the number would mean had it been read in the other unit.
    const auto was_fahrenheit = [](Temperature t) { return Temperature::fahrenheit(t.celsius()).celsius(); };
    const auto was_celsius = [](Temperature t) { return t.fahrenheit(); };
    run_of("quality.read_as_celsius", plain, was_fahrenheit, findings);
    run_of("quality.read_as_fahrenheit", plain, was_celsius, findings);
  }

  template <class Plain, class Other>
  void run_of(const char* code, const Plain& plain, const Other& other, std::vector<Finding>& findings) {
    const auto explained = [&](const Day& day) {
      if (!day.complete() || off(day, plain) <= swapped_from) return false;
      const double otherwise = off(day, other);
      return otherwise >= 0.0 && otherwise < swapped_to;
    };
    for (std::size_t i = 0; i < days_.size();) {
      std::size_t end = i;
      while (end < days_.size() && explained(days_[end])) ++end;
      if (end - i >= std::size_t{swapped_days}) {
        findings.push_back({{code,
                             {{"days", static_cast<std::int64_t>(end - i)},
                              {"first", days_[i].date.iso()},
                              {"last", days_[end - 1].date.iso()},
                              {"max", *days_[i].max},
                              {"would_be", Temperature::celsius(other(*days_[i].max))}}},
                            days_[i].date,
                            days_[end - 1].date});
        mark(i, end);
      }
      i = std::max(end, i + 1);
    }
  }

  // Both neighbours lie on the same side and far away; at a gap or an end the one neighbour decides.
  bool stands_out(std::size_t i, Extreme extreme) const {
    const Temperature here = *(days_[i].*extreme);
    int neighbours = 0, above = 0, below = 0;
    for (const auto j : {i - 1, i + 1}) {  // i − 1 before the first day wraps to beyond the last
      if (j >= days_.size() || !(days_[j].*extreme)) continue;
      ++neighbours;
      const TemperatureSpan jump = here - *(days_[j].*extreme);
      if (jump > spike_jump) ++above;
      if (-jump > spike_jump) ++below;
    }
    return neighbours > 0 && (above == neighbours || below == neighbours);
  }

  void spikes(std::vector<Finding>& findings) const {
    for (std::size_t i = 0; i < days_.size(); ++i)
      for (std::size_t e = 0; e < extremes.size(); ++e) {
        const auto& value = days_[i].*extremes[e];
        if (!value || in_run_[i]) continue;
        const Normal& usual = normal(e, days_[i]);
        if (!usual.known || usual.spreads_off(value->celsius()) <= spike_spreads || !stands_out(i, extremes[e])) continue;
        findings.push_back({{"quality.spike",
                             {{"date", days_[i].date.iso()},
                              {"which", Term{e == 0 ? "quality.minimum" : "quality.maximum"}},
                              {"value", *value},
                              {"normal", Temperature::celsius(usual.median_c)}}},
                            days_[i].date,
                            days_[i].date});
      }
  }

  std::span<const Day> days_;
  Normals normals_;
  std::vector<bool> in_run_;
};

}  // namespace

Quality examine(const DailySeries& series) {
  Quality quality;
  if (series.empty()) return quality;
  quality.first = series.first();
  quality.last = series.last();
  for (const Day& day : series.days()) {
    ++quality.days;
    if (quality.years.empty() || quality.years.back().year != day.date.year()) quality.years.push_back({day.date.year(), 0, 0});
    ++quality.years.back().days;
    if (day.complete())
      ++quality.complete;
    else
      ++quality.years.back().missing;
  }
  quality.gaps = series.gaps();
  for (const Gap& gap : quality.gaps) {
    if (gap.length() <= fillable && gap.first != quality.first && gap.last != quality.last) {
      quality.filled += gap.length().count;
      continue;
    }
    quality.findings.push_back(
        {{"quality.long_gap", {{"days", std::int64_t{gap.length().count}}, {"first", gap.first.iso()}, {"last", gap.last.iso()}}},
         gap.first,
         gap.last});
  }
  Examiner(series).look(quality.findings);
  return quality;
}

}  // namespace leafturn::weather
