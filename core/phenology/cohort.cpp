#include "core/phenology/cohort.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"
#include "core/phenology/emergence.hpp"
#include "core/phenology/felt.hpp"
#include "core/phenology/parts.hpp"
#include "core/phenology/rest.hpp"

namespace leafturn::phenology {
namespace {

using pest::Dossier;
using weather::HourlyDay;
using weather::HourlySeries;

constexpr double least_generation = 0.01;
constexpr std::size_t most_generations = 12;
constexpr double first_entrants = 1e-4;

/// Everything about one generation up to some day; copied where futures part.
struct GenerationRun {
  Generation generation;
  std::size_t inflow_stage = 0;
  Chain chain;
  std::vector<double> total;  ///< entered so far, per stage
  std::vector<Marks> marks;
  std::vector<std::vector<double>> share, entered;  ///< [day][stage]
  std::vector<double> laid;                         ///< eggs of the next generation, per hour
};

/// One future: what every generation meets.
struct Future {
  const SeasonRequest& request;
  Emergence emergence;
  std::size_t days = 0;
  std::vector<double> bound;  ///< by day
  Felt felt;
};

GenerationRun begin_generation(const Dossier& dossier, int number, std::size_t inflow_stage) {
  GenerationRun run{{}, inflow_stage, Chain{chain_lengths(dossier), number > 0 ? rest_rule(dossier) : std::nullopt}, {}, {}, {}, {}, {}};
  run.generation.number = number;
  run.total.assign(dossier.stages.size(), 0.0);
  run.marks.resize(dossier.stages.size());
  return run;
}

void run_days(GenerationRun& run, Future& future, const std::vector<double>& inflow, std::size_t from, std::size_t to) {
  const std::size_t stages = run.total.size();
  ChainFlow flow;
  run.laid.resize(24 * to, 0.0);
  for (std::size_t day = from; day < to; ++day) {
    const Date date = future.emergence.start + Days{static_cast<std::int32_t>(day)};
    const std::vector<double> before = run.total;
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const std::size_t h = 24 * day + hour;
      if (inflow[h] <= 0.0 && run.chain.empty()) continue;
      run.chain.advance({future.felt.rates(date, hour), 1.0, inflow[h], run.inflow_stage, future.bound[day]}, flow);
      run.laid[h] = flow.last_aged;
      for (std::size_t s = 0; s < stages; ++s) {
        run.marks[s].passed(run.total[s], run.total[s] + flow.entered[s], date, static_cast<double>(hour), static_cast<double>(hour) + 1.0);
        run.total[s] += flow.entered[s];
      }
    }
    std::vector<double> share(stages);
    std::vector<double> entered(stages);
    for (std::size_t s = 0; s < stages; ++s) {
      share[s] = run.chain.in_stage(s);
      entered[s] = run.total[s] - before[s];
    }
    run.share.push_back(std::move(share));
    run.entered.push_back(std::move(entered));
  }
}

void conclude(GenerationRun& run, const Dossier& dossier) {
  for (std::size_t s = run.inflow_stage; s < run.total.size(); ++s)
    run.generation.stages.push_back({s, run.marks[s].quantiles(), run.total[s]});
  run.generation.laid_share = run.total[run.inflow_stage];
  run.generation.resting_share = run.chain.resting();
  for (std::size_t s = 0; s < run.total.size(); ++s)
    if (dossier.stages[s].group == pest::StageGroup::adult) {
      run.generation.complete_share = run.total[std::max(s, run.inflow_stage)];
      return;
    }
}

double sum_of(const std::vector<double>& shares) {
  double sum = 0.0;
  for (const double share : shares) sum += share;
  return sum;
}

/// Runs all generations from day `from` on to day `to`, beginning the next one where enough is laid.
void run_all(std::vector<GenerationRun>& runs, Future& future, std::size_t stage, std::size_t from, std::size_t to) {
  const Dossier& dossier = *future.request.dossier;
  for (std::size_t g = 0; g <= most_generations; ++g) {
    std::size_t begin = from;
    if (g == runs.size()) {
      if (g > 0 && sum_of(runs[g - 1].laid) < least_generation) return;
      runs.push_back(begin_generation(dossier, static_cast<int>(g), g == 0 ? stage : 0));
      begin = 0;
    }
    run_days(runs[g], future, g == 0 ? future.emergence.inflow : runs[g - 1].laid, begin, to);
  }
}

bool same_hours(const HourlySeries& a, const HourlySeries& b, Date date) {
  const HourlyDay* one = a.find(date);
  const HourlyDay* other = b.find(date);
  return one == other || (one != nullptr && other != nullptr && std::equal(one->begin(), one->end(), other->begin()));
}

/// Days from the start on which two futures agree in weather, and in who comes out.
std::size_t common_days(const Future& a, const HourlySeries& air_a, const Future& b, const HourlySeries& air_b) {
  if (a.emergence.start != b.emergence.start) return 0;
  // A soil remembers the days before the season's start too.
  for (Date d = std::min(air_a.first, air_b.first); d < a.emergence.start; d = d + Days{1})
    if (!same_hours(air_a, air_b, d)) return 0;
  std::size_t day = 0;
  const auto inflow = [&](const Future& c) { return c.emergence.inflow.begin() + static_cast<std::ptrdiff_t>(24 * day); };
  while (day < std::min(a.days, b.days) && same_hours(air_a, air_b, a.emergence.start + Days{static_cast<std::int32_t>(day)}) &&
         std::equal(inflow(a), inflow(a) + 24, inflow(b), num::exactly_equal))
    ++day;
  return day;
}

void collect(Season& result, std::vector<GenerationRun>& runs, const Future& future, std::size_t stage) {
  for (GenerationRun& run : runs) conclude(run, *future.request.dossier);
  result.overwintered = runs.front().generation;
  for (std::size_t g = 1; g < runs.size(); ++g) result.generations.push_back(runs[g].generation);
  double out_so_far = 0.0;
  for (std::size_t day = 0; day < future.days; ++day) {
    out_so_far += runs.front().entered[day][stage];
    if (out_so_far < first_entrants) continue;
    DayStand stand{future.emergence.start + Days{static_cast<std::int32_t>(day)}, {}, {}};
    for (GenerationRun& run : runs) {
      stand.share.push_back(std::move(run.share[day]));
      stand.entered.push_back(std::move(run.entered[day]));
    }
    result.days.push_back(std::move(stand));
  }
}

}  // namespace

Season season(const SeasonRequest& request) { return std::move(seasons(request, {request.air, 1}).front()); }

std::vector<Season> seasons(const SeasonRequest& request, std::span<const HourlySeries> futures) {
  const Dossier& dossier = *request.dossier;
  const auto stage = first_named(dossier, dossier.biofix.stage);
  std::vector<Season> results(futures.size());
  std::vector<Future> open_futures;
  std::vector<std::size_t> open;  // futures in which something can be said
  for (std::size_t f = 0; f < futures.size(); ++f) {
    SeasonRequest one = request;
    one.air = &futures[f];
    Felt felt{dossier, futures[f]};
    Emergence out = emergence(one, felt.soil());
    Season& result = results[f];
    result.biofix = out.found;
    result.gaps = gaps_between(futures[f], out.start, out.end);
    if (!stage) result.biofix = {std::nullopt, "biofix.unknown_stage", {{"stage", dossier.biofix.stage}}};
    if (!stage || out.inflow.empty()) continue;
    Future future{request, std::move(out), 0, {}, std::move(felt)};
    future.days = future.emergence.inflow.size() / 24;
    for (std::size_t day = 0; day < future.days; ++day) {
      const Date date = future.emergence.start + Days{static_cast<std::int32_t>(day)};
      future.bound.push_back(bound_share(dossier, request.site, date));
    }
    open_futures.push_back(std::move(future));
    open.push_back(f);
  }
  if (open.empty()) return results;

  // What the futures have in common is run once. A generation too small by then is begun in each future, from its first egg on.
  std::size_t common = open_futures.front().days;
  for (std::size_t i = 1; i < open.size(); ++i)
    common = std::min(common, common_days(open_futures.front(), futures[open.front()], open_futures[i], futures[open[i]]));
  std::vector<GenerationRun> shared;
  if (open.size() > 1) run_all(shared, open_futures.front(), *stage, 0, common);
  for (std::size_t i = 0; i < open.size(); ++i) {
    std::vector<GenerationRun> runs = shared;
    run_all(runs, open_futures[i], *stage, open.size() > 1 ? common : 0, open_futures[i].days);
    collect(results[open[i]], runs, open_futures[i], *stage);
  }
  return results;
}

LocalSeasons local_seasons(SeasonRequest request, std::span<const HourlySeries> futures, std::optional<Date> found, Date today) {
  const bool needs_find = request.dossier->biofix.kind == pest::Biofix::Kind::first_find ||
                          comes_as_migrant(*request.dossier, request.site) || request.winter_kill;
  request.biofix = needs_find ? found : std::nullopt;
  LocalSeasons out;
  const auto run = [&] {
    out.seasons = seasons(request, futures);
    const auto begun = std::find_if(out.seasons.begin(), out.seasons.end(), [](const Season& s) { return !s.days.empty(); });
    out.begun = static_cast<std::size_t>(begun - out.seasons.begin());
  };
  run();
  // Found before the calendar lets one in ten thousand out: the calendar is late, and the find begins it.
  const bool late = out.begun == out.seasons.size() || (found && out.seasons[out.begun].days.front().date > *found);
  if (found && *found < today && late && !request.biofix && request.site.latitude.degrees() >= 0.0) {
    request.biofix = found;
    run();
  }
  return out;
}

std::vector<std::vector<double>> age_on(const Dossier& dossier, const HourlySeries& air, const CivilTime& from,
                                        const std::vector<double>& stage_share, int days) {
  const std::size_t stages = dossier.stages.size();
  Chain chain{chain_lengths(dossier), std::nullopt};
  for (std::size_t s = 0; s < std::min(stages, stage_share.size()); ++s) chain.place_evenly(s, stage_share[s]);
  Felt felt{dossier, air};
  ChainFlow flow;
  std::vector<std::vector<double>> table;
  for (int day = 0; day <= days; ++day) {
    const Date date = from.date + Days{day};
    const double since = day == 0 ? from.hour() : 0.0;
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const double hours = std::clamp(static_cast<double>(hour) + 1.0 - since, 0.0, 1.0);
      if (hours > 0.0) chain.advance({felt.rates(date, hour), hours, 0.0, 0, 0.0}, flow);
    }
    std::vector<double> row(stages);
    for (std::size_t s = 0; s < stages; ++s) row[s] = chain.in_stage(s);
    table.push_back(std::move(row));
  }
  return table;
}

}  // namespace leafturn::phenology
