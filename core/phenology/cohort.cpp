#include "core/phenology/cohort.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/base/normal.hpp"
#include "core/phenology/chain.hpp"
#include "core/phenology/emergence.hpp"
#include "core/phenology/rate.hpp"
#include "core/weather/soil.hpp"
#include "core/weather/sun.hpp"

namespace leafturn::phenology {
namespace {

using pest::Dossier;
using weather::HourlyDay;
using weather::HourlySeries;

constexpr double least_generation = 0.01;
constexpr int most_generations = 12;
constexpr double first_entrants = 1e-4;

bool names(const pest::Stage& stage, const std::string& word) { return stage.key == word || pest::word_for(stage.group) == word; }

std::optional<std::size_t> first_named(const Dossier& dossier, const std::string& word) {
  for (std::size_t s = 0; s < dossier.stages.size(); ++s)
    if (names(dossier.stages[s], word)) return s;
  return std::nullopt;
}

std::vector<int> chain_lengths(const Dossier& dossier) {
  std::vector<int> lengths;
  for (const pest::Stage& stage : dossier.stages) lengths.push_back(substages(stage.spread.value));
  return lengths;
}

std::optional<RestRule> rest_rule(const Dossier& dossier) {
  if (!dossier.diapause) return std::nullopt;
  std::optional<std::size_t> decided;
  // Whoever lays has felt the day before: a group of adults is decided by its last stage before laying.
  for (std::size_t s = 0; s + 1 < dossier.stages.size(); ++s)
    if (names(dossier.stages[s], dossier.diapause->sensitive_stage)) decided = s;
  const auto rests = first_named(dossier, dossier.diapause->resting_stage);
  if (!decided || !rests) return std::nullopt;
  return RestRule{*decided, *rests};
}

/// Rate of every stage in one hour, from the air or the soil it lives in; all zero without weather.
class Rates {
 public:
  Rates(const Dossier& dossier, const HourlySeries& air) : dossier_{dossier}, air_{air}, now_(dossier.stages.size(), 0.0) {
    if (std::any_of(dossier.stages.begin(), dossier.stages.end(), [](const pest::Stage& s) { return s.in_soil; }))
      soil_ = weather::soil_at_5cm(air);
  }
  const std::vector<double>& at(Date date, std::size_t hour) {
    const HourlyDay* air = air_.find(date);
    const HourlyDay* soil = soil_.find(date);
    for (std::size_t s = 0; s < now_.size(); ++s) {
      const HourlyDay* felt = dossier_.stages[s].in_soil ? soil : air;
      now_[s] = felt == nullptr ? 0.0 : rate_per_day(dossier_.stages[s].rate, (*felt)[hour]);
    }
    return now_;
  }

 private:
  const Dossier& dossier_;
  const HourlySeries& air_;
  HourlySeries soil_;
  std::vector<double> now_;
};

/// Share of those deciding on `date` that is bound to rest.
double bound_share(const pest::Diapause& diapause, const weather::Site& site, Date date) {
  const double today = weather::day_length_hours(site.latitude, date.day_of_year());
  const double tomorrow = weather::day_length_hours(site.latitude, (date + Days{1}).day_of_year());
  if (tomorrow >= today) return 0.0;
  const double short_by = diapause.critical_hours.value - today;
  if (!(diapause.slope_hours > 0.0)) return short_by > 0.0 ? 1.0 : 0.0;
  return num::normal_cdf(short_by / diapause.slope_hours);
}

/// Notes when a growing share passes each of the five marks.
class Marks {
 public:
  void passed(double before, double after, Date date, std::size_t hour) {
    static constexpr std::array<double, 5> marks{0.05, 0.25, 0.50, 0.75, 0.95};
    while (next_ < marks.size() && after >= marks[next_]) {
      const double part = after > before ? std::clamp((marks[next_] - before) / (after - before), 0.0, 1.0) : 0.0;
      const auto second = static_cast<std::int32_t>((static_cast<double>(hour) + part) * 60.0) * 60;
      times_[next_++] = second < 86400 ? CivilTime{date, second} : CivilTime{date + Days{1}, 0};
    }
  }
  Quantiles quantiles() const { return {times_[0], times_[1], times_[2], times_[3], times_[4]}; }

 private:
  std::size_t next_ = 0;
  std::array<std::optional<CivilTime>, 5> times_;
};

struct GenerationRun {
  Generation generation;
  std::vector<std::vector<double>> share, entered;  ///< [day][stage]
  std::vector<double> laid;                         ///< eggs of the next generation, per hour
};

struct Calendar {
  const SeasonRequest& request;
  Date start;
  std::size_t days;
  std::optional<RestRule> rest;
  std::vector<double> bound;  ///< by day
};

GenerationRun run_generation(const Calendar& calendar, int number, std::size_t inflow_stage, const std::vector<double>& inflow) {
  const Dossier& dossier = *calendar.request.dossier;
  const std::size_t stages = dossier.stages.size();
  Chain chain{chain_lengths(dossier), number > 0 ? calendar.rest : std::nullopt};
  Rates rates{dossier, *calendar.request.air};
  ChainFlow flow;
  std::vector<double> total(stages, 0.0);
  std::vector<Marks> marks(stages);
  GenerationRun run;
  run.generation.number = number;
  run.laid.assign(24 * calendar.days, 0.0);
  for (std::size_t day = 0; day < calendar.days; ++day) {
    const Date date = calendar.start + Days{static_cast<std::int32_t>(day)};
    const std::vector<double> before = total;
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const std::size_t h = 24 * day + hour;
      if (inflow[h] <= 0.0 && chain.empty()) continue;
      chain.advance({rates.at(date, hour), 1.0, inflow[h], inflow_stage, calendar.bound[day]}, flow);
      run.laid[h] = flow.last_aged;
      for (std::size_t s = 0; s < stages; ++s) {
        marks[s].passed(total[s], total[s] + flow.entered[s], date, hour);
        total[s] += flow.entered[s];
      }
    }
    std::vector<double> share(stages);
    std::vector<double> entered(stages);
    for (std::size_t s = 0; s < stages; ++s) {
      share[s] = chain.in_stage(s);
      entered[s] = total[s] - before[s];
    }
    run.share.push_back(std::move(share));
    run.entered.push_back(std::move(entered));
  }
  for (std::size_t s = inflow_stage; s < stages; ++s) run.generation.stages.push_back({s, marks[s].quantiles(), total[s]});
  run.generation.laid_share = total[inflow_stage];
  run.generation.resting_share = chain.resting();
  for (std::size_t s = 0; s < stages; ++s)
    if (dossier.stages[s].group == pest::StageGroup::adult) {
      run.generation.complete_share = total[std::max(s, inflow_stage)];
      break;
    }
  return run;
}

std::vector<weather::Gap> gaps_between(const HourlySeries& air, Date start, Date end) {
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

}  // namespace

Season season(const SeasonRequest& request) {
  const Dossier& dossier = *request.dossier;
  Emergence out = emergence(request);
  Season result;
  result.biofix = std::move(out.found);
  result.gaps = gaps_between(*request.air, out.start, out.end);
  const auto stage = first_named(dossier, dossier.biofix.stage);
  if (!stage) {
    result.biofix = {std::nullopt, "biofix.unknown_stage", {{"stage", dossier.biofix.stage}}};
    return result;
  }
  if (out.inflow.empty()) return result;

  Calendar calendar{request, out.start, out.inflow.size() / 24, rest_rule(dossier), {}};
  for (std::size_t day = 0; day < calendar.days; ++day)
    calendar.bound.push_back(
        dossier.diapause ? bound_share(*dossier.diapause, request.site, out.start + Days{static_cast<std::int32_t>(day)}) : 0.0);

  std::vector<GenerationRun> runs;
  runs.push_back(run_generation(calendar, 0, *stage, out.inflow));
  while (static_cast<int>(runs.size()) <= most_generations) {
    double laid = 0.0;
    for (const double share : runs.back().laid) laid += share;
    if (laid < least_generation) break;
    runs.push_back(run_generation(calendar, static_cast<int>(runs.size()), 0, runs.back().laid));
  }

  result.overwintered = runs.front().generation;
  for (std::size_t g = 1; g < runs.size(); ++g) result.generations.push_back(runs[g].generation);
  double out_so_far = 0.0;
  for (std::size_t day = 0; day < calendar.days; ++day) {
    out_so_far += runs.front().entered[day][*stage];
    if (out_so_far < first_entrants) continue;
    DayStand stand{out.start + Days{static_cast<std::int32_t>(day)}, {}, {}};
    for (GenerationRun& run : runs) {
      stand.share.push_back(std::move(run.share[day]));
      stand.entered.push_back(std::move(run.entered[day]));
    }
    result.days.push_back(std::move(stand));
  }
  return result;
}

std::vector<std::vector<double>> age_on(const Dossier& dossier, const HourlySeries& air, const CivilTime& from,
                                        const std::vector<double>& stage_share, int days) {
  const std::size_t stages = dossier.stages.size();
  Chain chain{chain_lengths(dossier), std::nullopt};
  for (std::size_t s = 0; s < std::min(stages, stage_share.size()); ++s) chain.place_evenly(s, stage_share[s]);
  Rates rates{dossier, air};
  ChainFlow flow;
  std::vector<std::vector<double>> table;
  for (int day = 0; day <= days; ++day) {
    const Date date = from.date + Days{day};
    const double since = day == 0 ? from.hour() : 0.0;
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const double hours = std::clamp(static_cast<double>(hour) + 1.0 - since, 0.0, 1.0);
      if (hours > 0.0) chain.advance({rates.at(date, hour), hours, 0.0, 0, 0.0}, flow);
    }
    std::vector<double> row(stages);
    for (std::size_t s = 0; s < stages; ++s) row[s] = chain.in_stage(s);
    table.push_back(std::move(row));
  }
  return table;
}

}  // namespace leafturn::phenology
