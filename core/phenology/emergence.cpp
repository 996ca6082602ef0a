#include "core/phenology/emergence.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "core/base/elementary.hpp"
#include "core/base/normal.hpp"
#include "core/weather/sun.hpp"

namespace leafturn::phenology {
namespace {

using weather::HourlyDay;
using weather::HourlySeries;

bool whole(double value) { return value - std::floor(value) < 1e-9; }

std::size_t days_between(Date from, Date to) { return static_cast<std::size_t>(std::max(0, (to - from).count + 1)); }

double heat_of_hour(const HourlyDay* day, std::size_t hour, const pest::Biofix& rule) {
  if (day == nullptr) return 0.0;
  const Temperature felt = rule.upper ? std::min((*day)[hour], *rule.upper) : (*day)[hour];
  return std::max(0.0, (felt - *rule.lower).kelvin()) / 24.0;
}

/// Heat above `rule.lower` since the start, at the beginning of each hour and at the end of the last.
std::vector<double> heat_sums(const HourlySeries& felt, Date start, Date end, const pest::Biofix& rule) {
  std::vector<double> sums{0.0};
  for (Date d = start; d <= end; d = d + Days{1})
    for (std::size_t h = 0; h < 24; ++h) sums.push_back(sums.back() + heat_of_hour(felt.find(d), h, rule));
  return sums;
}

std::vector<double> inflow_from(std::size_t hours, const std::function<double(std::size_t)>& share_at) {
  std::vector<double> inflow(hours);
  double before = share_at(0);
  // Whoever is out when the season begins comes in during its first hour.
  double carried = before;
  for (std::size_t h = 0; h < hours; ++h) {
    const double after = share_at(h + 1);
    inflow[h] = std::max(0.0, after - before) + carried;
    carried = 0.0;
    before = after;
  }
  return inflow;
}

/// Log-normal in heat, median `middle`.
std::vector<double> emerge_by_heat(const std::vector<double>& sums, double middle, double variation) {
  const double sigma = std::sqrt(num::log1p(variation * variation));
  return inflow_from(sums.size() - 1, [&](std::size_t h) {
    if (!(sums[h] > 0.0)) return 0.0;
    if (!(sigma > 0.0)) return sums[h] >= middle ? 1.0 : 0.0;
    return num::normal_cdf(num::log(sums[h] / middle) / sigma);
  });
}

/// Normal in time around hour `middle`, standard deviation `sigma` hours, cut at four of them.
std::vector<double> emerge_by_time(std::size_t hours, double middle, double sigma) {
  const double tail = num::normal_cdf(-4.0);
  return inflow_from(hours, [&](std::size_t h) {
    const double past = static_cast<double>(h) - middle;
    if (!(sigma > 0.0)) return past >= 0.0 ? 1.0 : 0.0;
    return std::clamp((num::normal_cdf(past / sigma) - tail) / (1.0 - 2.0 * tail), 0.0, 1.0);
  });
}

std::vector<double> emerge_on_day(std::size_t hours, std::size_t day) {
  std::vector<double> inflow(hours, 0.0);
  for (std::size_t h = 24 * day; h < std::min(hours, 24 * day + 24); ++h) inflow[h] = 1.0 / 24.0;
  return inflow;
}

std::optional<Date> first_warm_day(const HourlySeries& air, Date start, Date end, int run_days, Temperature needed) {
  const int length = std::max(1, run_days);
  double sum = 0.0;
  int run = 0;
  std::vector<double> means;
  for (Date d = start; d <= end; d = d + Days{1}) {
    const HourlyDay* day = air.find(d);
    if (day == nullptr) {
      run = 0;
      means.clear();
      sum = 0.0;
      continue;
    }
    double mean = 0.0;
    for (const Temperature t : *day) mean += t.celsius() / 24.0;
    means.push_back(mean);
    sum += mean;
    if (++run > length) sum -= means[means.size() - 1 - static_cast<std::size_t>(length)];
    if (run >= length && sum / length >= needed.celsius()) return d;
  }
  return std::nullopt;
}

Date search_start(const pest::Biofix& rule, int year) {
  const auto start = Date::from_ymd(year, rule.month, rule.day);
  return start ? *start : Date::from_ymd(year, 1, 1).value_or(Date{});
}

/// The first day of the year from `start` on that is at least `hours` long.
std::optional<Date> first_long_day(Angle latitude, Date start, Date end, double hours) {
  for (Date d = start; d <= end; d = d + Days{1})
    if (weather::day_length_hours(latitude, d.day_of_year()) >= hours) return d;
  return std::nullopt;
}

bool by_day(const pest::Biofix& rule) { return rule.kind == pest::Biofix::Kind::warm_days || rule.kind == pest::Biofix::Kind::day_length; }

void by_given_date(Emergence& out, const pest::Biofix& rule, const HourlySeries& felt, Date date) {
  const std::size_t hours = 24 * days_between(out.start, out.end);
  const auto day = static_cast<std::size_t>((date - out.start).count);
  if (rule.lower && !by_day(rule)) {
    const auto sums = heat_sums(felt, out.start, out.end, rule);
    const double middle = sums[24 * day + 12];
    if (middle > 0.0) {
      out.inflow = emerge_by_heat(sums, middle, rule.spread);
      return;
    }
  }
  out.inflow = by_day(rule) ? emerge_by_time(hours, 24.0 * static_cast<double>(day) + 12.0, 24.0 * rule.spread * std::max(1, rule.run_days))
                            : emerge_on_day(hours, day);
}

/// Why no calendar can start by itself here, if so.
std::optional<BiofixFound> ruled_out(const SeasonRequest& request) {
  const pest::Dossier& dossier = *request.dossier;
  if (request.biofix) return std::nullopt;
  if (request.site.latitude.degrees() < 0.0) return BiofixFound{std::nullopt, "biofix.southern", {}};
  if (comes_as_migrant(dossier, request.site)) {
    const double limit = dossier.migrant_north_of->value.degrees();
    if (limit <= 0.0) return BiofixFound{std::nullopt, "biofix.migrant_everywhere", {}};
    return BiofixFound{std::nullopt, "biofix.migrant", {{"limit", Number{limit, whole(limit) ? 0 : 1}}}};
  }
  if (request.winter_kill)
    return BiofixFound{std::nullopt,
                       "biofix.winter_kill",
                       {{"coldest", request.winter_kill->coldest}, {"on", request.winter_kill->on}, {"limit", request.winter_kill->limit}}};
  return std::nullopt;
}

/// The dossier's rule on the weather: the day, its reason, and who comes out when.
void by_rule(Emergence& out, const SeasonRequest& request, const HourlySeries& felt) {
  const pest::Biofix& rule = request.dossier->biofix;
  const Fact since{"since", out.start};
  std::optional<Date> date;
  if (rule.kind == pest::Biofix::Kind::day_length) {
    date = first_long_day(request.site.latitude, out.start, out.end, rule.day_length_hours);
    if (date) out.found = {date, "biofix.day_length", {{"date", *date}, {"hours", Number{rule.day_length_hours, 1}}, since}};
  } else if (rule.kind == pest::Biofix::Kind::warm_days) {
    date = first_warm_day(felt, out.start, out.end, rule.run_days, *rule.lower);
    if (date)
      out.found = {date,
                   rule.in_soil ? "biofix.warm_days_soil" : "biofix.warm_days",
                   {{"date", *date}, {"temperature", *rule.lower}, {"days", std::int64_t{std::max(1, rule.run_days)}}, since}};
  } else {
    const auto sums = heat_sums(felt, out.start, out.end, rule);
    const double middle = rule.sum->celsius_days();
    out.inflow = emerge_by_heat(sums, middle, rule.spread);
    const auto reached = std::lower_bound(sums.begin() + 1, sums.end(), middle);
    if (reached != sums.end()) {
      date = out.start + Days{(static_cast<std::int32_t>(reached - sums.begin()) - 1) / 24};
      out.found = {date,
                   rule.in_soil ? "biofix.degree_days_soil" : "biofix.degree_days",
                   {{"date", *date}, {"sum", *rule.sum}, {"temperature", *rule.lower}, since}};
    }
  }
  if (!date) out.found = {std::nullopt, "biofix.not_yet", {{"end", out.end}}};
  if (date && by_day(rule)) by_given_date(out, rule, felt, *date);
}

bool can_be_computed(const pest::Biofix& rule) {
  switch (rule.kind) {
    case pest::Biofix::Kind::date:
      return true;
    case pest::Biofix::Kind::degree_days:
      return rule.lower && rule.sum && rule.sum->celsius_days() > 0.0;
    case pest::Biofix::Kind::warm_days:
      return rule.lower.has_value();
    case pest::Biofix::Kind::day_length:
      return rule.day_length_hours > 0.0;
    case pest::Biofix::Kind::first_find:
      return false;
  }
  return false;
}

}  // namespace

Emergence emergence(const SeasonRequest& request, const HourlySeries& soil) {
  const pest::Biofix& rule = request.dossier->biofix;
  const HourlySeries& felt = rule.in_soil ? soil : *request.air;
  Emergence out;
  const Date year_end = Date::from_ymd(request.year, 12, 31).value_or(Date{});
  out.start = search_start(rule, request.year);
  if (request.biofix) out.start = std::min(out.start, *request.biofix);
  out.end = request.last ? std::min(*request.last, year_end) : year_end;
  if (felt.days.empty() || out.end < felt.first) {
    out.found.code = "biofix.no_weather";
    return out;
  }
  out.end = std::min(out.end, felt.first + Days{static_cast<std::int32_t>(felt.days.size()) - 1});
  if (auto why = ruled_out(request)) {
    out.found = std::move(*why);
    return out;
  }
  if (!request.biofix && !can_be_computed(rule)) {
    out.found.code = "biofix.needs_find";
    return out;
  }
  const bool dated = request.biofix || rule.kind == pest::Biofix::Kind::date;
  const Date date = request.biofix.value_or(search_start(rule, request.year));
  if (out.end < (dated ? date : out.start)) {
    out.found = {std::nullopt, "biofix.not_yet", {{"end", out.end}}};
  } else if (dated) {
    out.found = {date, request.biofix ? "biofix.given" : "biofix.date", {{"date", date}}};
    by_given_date(out, rule, felt, date);
  } else {
    by_rule(out, request, felt);
  }
  return out;
}

}  // namespace leafturn::phenology
