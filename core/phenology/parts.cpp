#include "core/phenology/parts.hpp"

#include <algorithm>

#include "core/base/normal.hpp"
#include "core/phenology/rate.hpp"
#include "core/weather/sun.hpp"

namespace leafturn::phenology {

bool names(const pest::Stage& stage, const std::string& word) { return stage.key == word || pest::word_for(stage.group) == word; }

std::optional<std::size_t> first_named(const pest::Dossier& dossier, const std::string& word) {
  for (std::size_t s = 0; s < dossier.stages.size(); ++s)
    if (names(dossier.stages[s], word)) return s;
  return std::nullopt;
}

std::vector<int> chain_lengths(const pest::Dossier& dossier) {
  std::vector<int> lengths;
  for (const pest::Stage& stage : dossier.stages) lengths.push_back(substages(stage.spread.value));
  return lengths;
}

std::optional<RestRule> rest_rule(const pest::Dossier& dossier) {
  if (!dossier.diapause) return std::nullopt;
  std::optional<std::size_t> decided;
  // Whoever lays has felt the day before: a group of adults is decided by its last stage before laying.
  for (std::size_t s = 0; s + 1 < dossier.stages.size(); ++s)
    if (names(dossier.stages[s], dossier.diapause->sensitive_stage)) decided = s;
  const auto rests = first_named(dossier, dossier.diapause->resting_stage);
  if (!decided || !rests) return std::nullopt;
  return RestRule{*decided, *rests};
}

double bound_share(const pest::Dossier& dossier, const weather::Site& site, Date date) {
  if (!dossier.diapause) return 0.0;
  const double today = weather::day_length_hours(site.latitude, date.day_of_year());
  const double tomorrow = weather::day_length_hours(site.latitude, (date + Days{1}).day_of_year());
  if (tomorrow >= today) return 0.0;
  const double short_by = dossier.diapause->critical_hours.value - today;
  if (!(dossier.diapause->slope_hours > 0.0)) return short_by > 0.0 ? 1.0 : 0.0;
  return num::normal_cdf(short_by / dossier.diapause->slope_hours);
}

std::vector<weather::Gap> gaps_between(const weather::HourlySeries& air, Date start, Date end) {
  std::vector<weather::Gap> gaps;
  for (Date d = start; d <= end; d = d + Days{1}) {
    if (air.find(d) != nullptr) continue;
    if (!gaps.empty() && gaps.back().last + Days{1} == d)
      gaps.back().last = d;
    else
      gaps.push_back({d, d});
  }
  return gaps;
}

void Marks::passed(double before, double after, Date date, double from, double to) {
  while (next_ < marks.size() && after >= marks[next_]) {
    const double part = after > before ? std::clamp((marks[next_] - before) / (after - before), 0.0, 1.0) : 0.0;
    const auto second = static_cast<std::int32_t>((from + part * (to - from)) * 60.0) * 60;
    times_[next_++] = second < 86400 ? CivilTime{date, second} : CivilTime{date + Days{1}, 0};
  }
}

}  // namespace leafturn::phenology
