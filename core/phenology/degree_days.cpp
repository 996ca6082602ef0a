#include "core/phenology/degree_days.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::phenology {
namespace {

enum class Curve { sine, triangle };

/// What one rise from `min` to `max` (or the mirrored fall) leaves above a threshold, all in °C and days.
struct Above {
  double heat = 0.0;   ///< mean over the time of max(0, T − threshold)
  double share = 0.0;  ///< share of the time with T > threshold
};

// Both curves are written in u = (max − θ)/(max − min) and v = (θ − min)/(max − min), u + v = 1: the differences of nearby
// temperatures are exact, so no rounding can push the arcsine's argument out of [−1, 1], and taking the smaller of u and v
// keeps it from being magnified near an extreme. With
// θ = M + A sin x the published forms follow from π/2 − x = 2 asin √u, cos x = 2 √(uv), M − θ = (max − min)(u − v)/2.
Above above(Curve curve, double min, double max, double threshold) {
  if (threshold >= max) return {0.0, 0.0};
  if (threshold <= min) return {0.5 * (min - threshold) + 0.5 * (max - threshold), 1.0};
  const double span = max - min;
  const double u = (max - threshold) / span;
  if (curve == Curve::triangle) return {0.5 * u * (max - threshold), u};
  const double v = (threshold - min) / span;
  const double angle = u <= v ? num::asin(std::sqrt(u)) : 0.5 * num::pi - num::asin(std::sqrt(v));
  return {span / num::pi * ((u - v) * angle + std::sqrt(u * v)), 2.0 / num::pi * angle};
}

double rise(Curve curve, Cutoff cutoff, double lower, std::optional<double> upper, double min, double max) {
  const double heat = above(curve, min, max, lower).heat;
  if (cutoff == Cutoff::none || !upper) return heat;
  const Above over = above(curve, min, max, *upper);
  switch (cutoff) {
    case Cutoff::horizontal:
      return std::max(0.0, heat - over.heat);
    case Cutoff::intermediate:
      return heat - 2.0 * over.heat;
    case Cutoff::vertical:
      return std::max(0.0, heat - over.heat - (*upper - lower) * over.share);
    case Cutoff::none:
      break;
  }
  return heat;
}

}  // namespace

DegreeDays degree_days(Method method, Cutoff cutoff, const Thresholds& thresholds, Temperature min, Temperature max, Temperature next_min) {
  const double lower = thresholds.lower.celsius();
  const std::optional<double> upper = thresholds.upper ? std::optional{thresholds.upper->celsius()} : std::nullopt;
  const double low = min.celsius();
  const double high = max.celsius();
  const double next = std::min(next_min.celsius(), high);
  const auto one = [&](Curve curve) { return DegreeDays::celsius_days(rise(curve, cutoff, lower, upper, low, high)); };
  const auto two = [&](Curve curve) {
    return (one(curve) + DegreeDays::celsius_days(rise(curve, cutoff, lower, upper, next, high))) / 2.0;
  };
  switch (method) {
    case Method::average:
      return DegreeDays::celsius_days(std::max(0.0, 0.5 * (low - lower) + 0.5 * (high - lower)));
    case Method::single_triangle:
      return one(Curve::triangle);
    case Method::double_triangle:
      return two(Curve::triangle);
    case Method::single_sine:
      return one(Curve::sine);
    case Method::double_sine:
      return two(Curve::sine);
  }
  return {};
}

Result<DegreeDayTable> accumulate(const weather::DailySeries& series, Date from, Date to, Method method, Cutoff cutoff,
                                  const Thresholds& thresholds) {
  if (cutoff != Cutoff::none && !(thresholds.upper && *thresholds.upper > thresholds.lower)) {
    std::vector<Fact> facts{{"lower", thresholds.lower}};
    if (!thresholds.upper) return fail("degree_days.no_upper", {}, std::move(facts));
    facts.push_back({"upper", *thresholds.upper});
    return fail("degree_days.thresholds", {}, std::move(facts));
  }
  if (to < from) return fail("degree_days.backwards", {}, {{"from", from}, {"to", to}});
  if (series.empty() || to < series.first() || series.last() < from) {
    std::vector<Fact> facts{{"from", from}, {"to", to}};
    if (!series.empty()) {
      facts.push_back({"first", series.first()});
      facts.push_back({"last", series.last()});
    }
    return fail(series.empty() ? "degree_days.no_weather" : "degree_days.outside", {}, std::move(facts));
  }

  const weather::DailySeries filled = weather::fill_gaps(series);
  DegreeDayTable table;
  const auto missing = [&](Date first, Date last) {
    if (!table.gaps.empty() && table.gaps.back().last + Days{1} == first)
      table.gaps.back().last = last;
    else
      table.gaps.push_back({first, last});
  };
  if (from < filled.first()) missing(from, filled.first() - Days{1});
  DegreeDays sum;
  for (const weather::Day& day : filled.between(from, to)) {
    DegreeDayRow row{day.date, day.min, day.max, std::nullopt, sum, day.filled};
    if (day.complete()) {
      const weather::Day* next = filled.find(day.date + Days{1});
      const Temperature next_min = next != nullptr && next->min ? *next->min : *day.min;
      row.degree_days = degree_days(method, cutoff, thresholds, *day.min, *day.max, next_min);
      sum += *row.degree_days;
      row.sum = sum;
    } else {
      missing(day.date, day.date);
    }
    table.rows.push_back(row);
  }
  if (filled.last() < to) missing(filled.last() + Days{1}, to);
  return table;
}

}  // namespace leafturn::phenology
