#include "core/phenology/compare.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::phenology {
namespace {

using weather::HourlyDay;
using weather::HourlySeries;

std::optional<Temperature> lower_of(const pest::RateModel& model) {
  if (const auto* linear = std::get_if<pest::LinearRate>(&model)) return linear->lower.value;
  if (const auto* briere = std::get_if<pest::BriereRate>(&model)) return briere->lower;
  if (const auto* kontodimas = std::get_if<pest::KontodimasRate>(&model)) return kontodimas->lower;
  if (const auto* beta = std::get_if<pest::BetaRate>(&model)) return beta->lower;
  return std::nullopt;
}

double heat_of(const HourlyDay& day, const HeatRule& rule) {
  double sum = 0.0;
  for (const Temperature t : day) sum += std::max(0.0, ((rule.upper ? std::min(t, *rule.upper) : t) - rule.lower).kelvin());
  return sum / 24.0;
}

/// Sums at the end of each day from the rule's start of `year`, up to `last` or the first day without weather.
std::vector<double> curve(const HeatRule& rule, const HourlySeries& felt, int year, Date last) {
  std::vector<double> sums;
  double sum = 0.0;
  for (Date d = *Date::from_ymd(year, rule.month, rule.day); d <= last; d = d + Days{1}) {
    const HourlyDay* day = felt.find(d);
    if (day == nullptr) break;
    sum += heat_of(*day, rule);
    sums.push_back(sum);
  }
  return sums;
}

Date year_end(int year) { return *Date::from_ymd(year, 12, 31); }

/// Whether 29 February lies in the sum's days of that year, and as which.
std::optional<std::size_t> leap_day(const HeatRule& rule, int year) {
  const auto leap = Date::from_ymd(year, 2, 29);
  const Date start = *Date::from_ymd(year, rule.month, rule.day);
  if (!leap || *leap < start) return std::nullopt;
  return static_cast<std::size_t>((*leap - start).count);
}

/// A year's sums laid on the days of `year`: 29 February left out or the 28th taken twice.
std::vector<double> aligned(std::vector<double> sums, const HeatRule& rule, int from, int year) {
  const auto leap_from = leap_day(rule, from);
  const auto leap_to = leap_day(rule, year);
  if (leap_from && !leap_to && *leap_from < sums.size()) sums.erase(sums.begin() + static_cast<std::ptrdiff_t>(*leap_from));
  if (leap_to && !leap_from && *leap_to > 0 && *leap_to <= sums.size())
    sums.insert(sums.begin() + static_cast<std::ptrdiff_t>(*leap_to), sums[*leap_to - 1]);
  return sums;
}

struct Normal {
  std::vector<double> mean, low, high;
};

Normal normal_of(const std::vector<std::vector<double>>& years) {
  Normal out;
  if (years.size() < least_years) return out;
  std::size_t days = years.front().size();
  for (const auto& one : years) days = std::min(days, one.size());
  for (std::size_t i = 0; i < days; ++i) {
    double sum = 0.0;
    double low = years.front()[i];
    double high = low;
    for (const auto& one : years) {
      sum += one[i];
      low = std::min(low, one[i]);
      high = std::max(high, one[i]);
    }
    out.mean.push_back(sum / static_cast<double>(years.size()));
    out.low.push_back(low);
    out.high.push_back(high);
  }
  return out;
}

std::optional<DegreeDays> at(const std::vector<double>& sums, std::size_t day) {
  if (day >= sums.size()) return std::nullopt;
  return DegreeDays::celsius_days(sums[day]);
}

/// Days after `day` on which `other` reaches `sum`; negative when it was there before.
std::optional<int> days_ahead(double sum, std::size_t day, const std::vector<double>& other) {
  const auto reached = std::lower_bound(other.begin(), other.end(), sum);
  if (reached == other.end()) return std::nullopt;
  return static_cast<int>(reached - other.begin()) - static_cast<int>(day);
}

/// The day of another year as one of `year`; 29 February is the 28th.
Date in_year(Date d, int year) {
  const auto same = Date::from_ymd(year, d.month(), d.day());
  return same ? *same : *Date::from_ymd(year, d.month(), 28);
}

std::optional<Date> middle_day(const Season& season, int generation, std::size_t stage) {
  const auto number = static_cast<std::size_t>(generation);
  if (number > season.generations.size()) return std::nullopt;
  const Generation& g = number == 0 ? season.overwintered : season.generations[number - 1];
  for (const StageEntry& entry : g.stages)
    if (entry.stage == stage && entry.enter.p50) return entry.enter.p50->date;
  return std::nullopt;
}

void add_normal(KeyDate& key, int year, const std::vector<Date>& days) {
  key.years = days.size();
  if (days.size() < least_years) return;
  double sum = 0.0;
  for (const Date d : days) sum += d.day_of_year();
  const auto mean = static_cast<std::int32_t>(std::lround(sum / static_cast<double>(days.size())));
  key.normal = *Date::from_ymd(year, 1, 1) + Days{mean - 1};
  key.earliest = *std::min_element(days.begin(), days.end());
  key.latest = *std::max_element(days.begin(), days.end());
  if (key.this_year) key.days_ahead_of_normal = (*key.normal - *key.this_year).count;
}

}  // namespace

std::optional<HeatRule> heat_rule(const pest::Dossier& dossier) {
  const pest::Biofix& biofix = dossier.biofix;
  if (biofix.kind == pest::Biofix::Kind::degree_days && biofix.lower)
    return HeatRule{*biofix.lower, biofix.upper, biofix.in_soil, biofix.month, biofix.day};
  if (dossier.stages.empty()) return std::nullopt;
  const auto lower = lower_of(dossier.stages.front().rate.model);
  if (!lower) return std::nullopt;
  HeatRule rule;
  rule.lower = *lower;
  return rule;
}

HeatComparison compare_heat(const HeatRule& rule, const HourlySeries& felt, int year, Date until) {
  HeatComparison out;
  out.rule = rule;
  const Date start = *Date::from_ymd(year, rule.month, rule.day);
  const auto this_year = curve(rule, felt, year, std::min(until, year_end(year)));
  out.until = start + Days{static_cast<std::int32_t>(this_year.size()) - 1};
  std::vector<std::vector<double>> before;
  const int first_year = felt.days.empty() ? year : felt.first.year();
  for (int y = year - 1; y >= first_year && before.size() < most_years; --y) {
    auto sums = curve(rule, felt, y, year_end(y));
    const Date first = *Date::from_ymd(y, rule.month, rule.day);
    if (static_cast<int>(sums.size()) == (year_end(y) - first).count + 1) before.push_back(aligned(std::move(sums), rule, y, year));
  }
  out.years = before.size();
  const Normal normal = normal_of(before);
  const auto last_year = aligned(curve(rule, felt, year - 1, year_end(year - 1)), rule, year - 1, year);
  for (Date d = start; d <= year_end(year); d = d + Days{1}) {
    const auto i = static_cast<std::size_t>((d - start).count);
    out.days.push_back({d, at(this_year, i), at(last_year, i), at(normal.mean, i), at(normal.low, i), at(normal.high, i)});
  }
  if (this_year.empty()) return out;
  const std::size_t now = this_year.size() - 1;
  const HeatDay& day = out.days[now];
  out.now = day.this_year;
  out.normal = day.normal;
  out.low = day.low;
  out.high = day.high;
  out.last_year = day.last_year;
  if (this_year[now] > 0.0) {
    out.days_ahead_of_normal = days_ahead(this_year[now], now, normal.mean);
    out.days_ahead_of_last_year = days_ahead(this_year[now], now, last_year);
  }
  return out;
}

std::vector<KeyDate> compare_dates(const pest::Dossier& dossier, const Calendar& calendar, int year, std::span<const PastSeason> past) {
  std::vector<KeyDate> out;
  const auto add = [&](const GenerationCalendar& generation) {
    for (const StageCalendar& stage : generation.stages) {
      if (!is_key_stage(dossier, stage.stage)) continue;
      KeyDate key;
      key.generation = generation.number;
      key.stage = stage.stage;
      if (const auto& middle = stage.enter[2].at) key.this_year = middle->date;
      std::vector<Date> days;
      for (const PastSeason& one : past) {
        const auto day = middle_day(one.season, generation.number, stage.stage);
        if (!day) continue;
        days.push_back(in_year(*day, year));
        if (one.year == year - 1) key.last_year = *day;
      }
      add_normal(key, year, days);
      if (key.this_year && key.last_year) key.days_ahead_of_last_year = (in_year(*key.last_year, year) - *key.this_year).count;
      if (key.this_year || key.normal || key.last_year) out.push_back(key);
    }
  };
  add(calendar.overwintered);
  for (const GenerationCalendar& generation : calendar.generations) add(generation);
  return out;
}

}  // namespace leafturn::phenology
