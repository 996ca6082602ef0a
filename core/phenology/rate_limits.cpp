#include "core/phenology/rate_limits.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/phenology/rate.hpp"
#include "core/phenology/rate_table.hpp"

namespace leafturn::phenology {
namespace {

// Wider than any insect; a model still rising at the hot end has no optimum.
constexpr double coldest = -100.0;
constexpr double hottest = 80.0;

double at(const pest::RateModel& model, double celsius) { return rate_per_day(model, Temperature::celsius(celsius)); }

// Highest point of a curve that rises and then falls: the best of a fine scan, then golden section between its neighbours.
std::optional<double> searched_optimum(const pest::RateModel& model) {
  constexpr double step = 0.25;
  constexpr double golden = 0.6180339887498949;
  double best = coldest;
  for (double t = coldest; t <= hottest; t += step)
    if (at(model, t) > at(model, best)) best = t;
  if (best <= coldest || best >= hottest - step) return std::nullopt;
  double low = best - step;
  double high = best + step;
  while (high - low > 1e-8) {
    const double a = high - golden * (high - low);
    const double b = low + golden * (high - low);
    (at(model, a) < at(model, b) ? low : high) = at(model, a) < at(model, b) ? a : b;
  }
  return 0.5 * (low + high);
}

struct OptimumOf {
  const pest::RateModel& model;

  std::optional<double> operator()(const pest::LinearRate& rate) const {
    if (!rate.upper) return std::nullopt;
    return rate.upper->value.celsius();
  }
  std::optional<double> operator()(const pest::BriereRate& rate) const {
    const double lower = rate.lower.celsius();
    const double upper = rate.upper.celsius();
    const double m = rate.m;
    const double root = num::sqrt(4.0 * m * m * upper * upper + (m + 1.0) * (m + 1.0) * lower * lower - 4.0 * m * m * lower * upper);
    return (2.0 * m * upper + (m + 1.0) * lower + root) / (4.0 * m + 2.0);
  }
  static double rise_less_fall(double rho, double upper, double delta) {
    return upper + delta * num::log(rho * delta) / (1.0 - rho * delta);
  }
  std::optional<double> operator()(const pest::LactinRate& rate) const {
    return rise_less_fall(rate.rho, rate.upper.celsius(), rate.delta);
  }
  std::optional<double> operator()(const pest::LoganRate& rate) const { return rise_less_fall(rate.rho, rate.upper.celsius(), rate.delta); }
  std::optional<double> operator()(const pest::Logan10Rate&) const { return searched_optimum(model); }
  std::optional<double> operator()(const pest::SchoolfieldRate&) const { return searched_optimum(model); }
  std::optional<double> operator()(const pest::KontodimasRate& rate) const {
    return (2.0 * rate.upper.celsius() + rate.lower.celsius()) / 3.0;
  }
  std::optional<double> operator()(const pest::BetaRate& rate) const {
    return (rate.alpha * rate.upper.celsius() + rate.beta * rate.lower.celsius()) / (rate.alpha + rate.beta);
  }
  std::optional<double> operator()(const pest::TableRate& rate) const {
    const pest::TableRate::Point* best = nullptr;
    for (const auto& point : rate.points)
      if (point.days && *point.days > 0.0 && (best == nullptr || *point.days < *best->days)) best = &point;
    if (best == nullptr) return std::nullopt;
    return best->temperature.celsius();
  }
};

// Between `zero`, where there is no development, and `some`, where there is: the temperature at which it ends.
Temperature edge(const pest::RateModel& model, double zero, double some) {
  while (true) {
    const double middle = 0.5 * (zero + some);
    if (!(std::abs(some - zero) > 1e-12) || !(middle < std::max(zero, some) && middle > std::min(zero, some)))
      return Temperature::celsius(middle);
    (at(model, middle) > 0.0 ? some : zero) = middle;
  }
}

struct LimitsOf {
  const pest::RateModel& model;

  RateLimits operator()(const pest::LinearRate& rate) const {
    RateLimits out{rate.lower.value, std::nullopt};
    if (rate.lethal) out.upper = rate.lethal->value;
    return out;
  }
  // T itself is a factor: below 0 °C nothing develops whatever the lower threshold.
  RateLimits operator()(const pest::BriereRate& rate) const { return {std::max(rate.lower, Temperature::celsius(0.0)), rate.upper}; }
  RateLimits operator()(const pest::KontodimasRate& rate) const { return {rate.lower, rate.upper}; }
  RateLimits operator()(const pest::BetaRate& rate) const { return {rate.lower, rate.upper}; }
  RateLimits operator()(const pest::LoganRate& rate) const { return {std::nullopt, rate.upper}; }
  RateLimits operator()(const pest::SchoolfieldRate&) const { return {}; }
  RateLimits operator()(const pest::TableRate& rate) const {
    const auto ends = table_ends(rate);
    if (!ends) return {};
    return {Temperature::celsius(ends->lower), Temperature::celsius(ends->upper)};
  }
  RateLimits operator()(const pest::LactinRate&) const { return searched(); }
  RateLimits operator()(const pest::Logan10Rate&) const { return searched(); }

  RateLimits searched() const {
    RateLimits out;
    const auto best = optimum(model);
    if (!best) return out;
    const double top = best->at.celsius();
    if (!(at(model, coldest) > 0.0)) out.lower = edge(model, coldest, top);
    double zero = top + 1.0;
    while (at(model, zero) > 0.0 && zero < top + 1000.0) zero += 5.0;
    if (!(at(model, zero) > 0.0)) out.upper = edge(model, zero, top);
    return out;
  }
};

}  // namespace

std::optional<Optimum> optimum(const pest::RateModel& model) {
  const auto found = std::visit(OptimumOf{model}, model);
  if (!found || !(at(model, *found) > 0.0)) return std::nullopt;
  return Optimum{Temperature::celsius(*found), at(model, *found)};
}

RateLimits limits(const pest::RateModel& model) {
  if (!std::holds_alternative<pest::SchoolfieldRate>(model) && !std::holds_alternative<pest::LinearRate>(model) && !optimum(model))
    return {};
  return std::visit(LimitsOf{model}, model);
}

}  // namespace leafturn::phenology
