#include "core/phenology/calendar.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::phenology {
namespace {

constexpr double whole_generation = 0.95;

/// Rank that a share of `n` reaches: nearest rank, from 0.
std::size_t rank_of(double share, std::size_t n) {
  const auto rank = static_cast<std::size_t>(std::ceil(share * static_cast<double>(n) - 1e-9));
  return rank == 0 ? 0 : rank - 1;
}

template <class T>
void never_last(std::vector<std::optional<T>>& values) {
  std::sort(values.begin(), values.end(),
            [](const std::optional<T>& a, const std::optional<T>& b) { return a && b ? *a < *b : a.has_value() && !b.has_value(); });
}

const Generation* generation_of(const Season& season, std::size_t number) {
  if (number == 0) return &season.overwintered;
  return number <= season.generations.size() ? &season.generations[number - 1] : nullptr;
}

const StageEntry* entry_of(const Generation* generation, std::size_t stage) {
  if (generation == nullptr) return nullptr;
  for (const StageEntry& entry : generation->stages)
    if (entry.stage == stage) return &entry;
  return nullptr;
}

/// Share that gets where it would be in a good year: adult, or at rest. Who rests as an adult is in both.
double arrived(const pest::Dossier& dossier, const GenerationCalendar& generation) {
  if (!dossier.diapause) return generation.complete.mean;
  const auto rests = dossier.stage_index(dossier.diapause->resting_stage);
  const bool as_adult = dossier.diapause->resting_stage == "adult" || (rests && dossier.stages[*rests].group == pest::StageGroup::adult);
  return as_adult ? std::max(generation.complete.mean, generation.resting.mean) : generation.complete.mean + generation.resting.mean;
}

GenerationCalendar over_futures(const pest::Dossier& dossier, std::span<const Season> seasons, std::size_t number, bool whole_year) {
  GenerationCalendar out;
  out.number = static_cast<int>(number);
  std::vector<double> laid, complete, resting;
  for (const Season& season : seasons) {
    const Generation* generation = generation_of(season, number);
    const bool there = generation != nullptr && !generation->stages.empty();
    laid.push_back(there ? generation->laid_share : 0.0);
    complete.push_back(there ? generation->complete_share : 0.0);
    resting.push_back(there ? generation->resting_share : 0.0);
  }
  out.laid = share_over(std::move(laid));
  out.complete = share_over(std::move(complete));
  out.resting = share_over(std::move(resting));
  for (std::size_t stage = 0; stage < dossier.stages.size(); ++stage) {
    StageCalendar dates;
    dates.stage = stage;
    bool there = false;
    for (std::size_t mark = 0; mark < dates.enter.size(); ++mark) {
      std::vector<std::optional<CivilTime>> times;
      for (const Season& season : seasons) {
        const StageEntry* entry = entry_of(generation_of(season, number), stage);
        there = there || entry != nullptr;
        times.push_back(entry != nullptr ? mark_of(entry->enter, mark) : std::nullopt);
        if (mark == 0 && entry != nullptr) dates.share += entry->share / static_cast<double>(seasons.size());
      }
      dates.enter[mark] = over_members(std::move(times));
    }
    if (there) out.stages.push_back(dates);
  }
  if (whole_year) out.partial = out.laid.mean < whole_generation || arrived(dossier, out) < whole_generation;
  return out;
}

}  // namespace

ShareOver share_over(std::vector<double> shares) {
  if (shares.empty()) return {};
  std::sort(shares.begin(), shares.end());
  double sum = 0.0;
  for (const double share : shares) sum += share;
  return {sum / static_cast<double>(shares.size()), shares[rank_of(0.1, shares.size())], shares[rank_of(0.9, shares.size())]};
}

const std::optional<CivilTime>& mark_of(const Quantiles& q, std::size_t mark) {
  const std::array<const std::optional<CivilTime>*, 5> all{&q.p05, &q.p25, &q.p50, &q.p75, &q.p95};
  return *all[mark];
}

MarkDates over_members(std::vector<std::optional<CivilTime>> times) {
  MarkDates out;
  if (times.empty()) return out;
  never_last(times);
  out.reached = static_cast<std::size_t>(std::count_if(times.begin(), times.end(), [](const auto& t) { return t.has_value(); }));
  out.at = times[rank_of(0.5, times.size())];
  if (times.size() > 1) {
    out.early = times[rank_of(0.1, times.size())];
    out.late = times[rank_of(0.9, times.size())];
  }
  return out;
}

Calendar calendar(const pest::Dossier& dossier, std::span<const Season> seasons, bool whole_year) {
  Calendar out;
  out.members = seasons.size();
  if (seasons.empty()) return out;
  std::vector<std::optional<Date>> starts;
  std::size_t generations = 0;
  for (const Season& season : seasons) {
    starts.push_back(season.biofix.date);
    generations = std::max(generations, season.generations.size());
  }
  never_last(starts);
  const auto middle = starts[rank_of(0.5, starts.size())];
  for (const Season& season : seasons)
    if (season.biofix.date == middle) {
      out.biofix = season.biofix;
      break;
    }
  if (starts.size() > 1) {
    out.biofix_early = starts[rank_of(0.1, starts.size())];
    out.biofix_late = starts[rank_of(0.9, starts.size())];
  }
  out.overwintered = over_futures(dossier, seasons, 0, whole_year);
  for (std::size_t g = 1; g <= generations; ++g) out.generations.push_back(over_futures(dossier, seasons, g, whole_year));
  out.gaps = seasons.front().gaps;
  return out;
}

bool is_key_stage(const pest::Dossier& dossier, std::size_t stage) {
  return stage == 0 || stage + 1 == dossier.stages.size() || dossier.stages[stage].group != dossier.stages[stage - 1].group;
}

std::vector<NextEvent> next_events(const pest::Dossier& dossier, const Calendar& calendar, Date from, std::size_t most) {
  std::vector<NextEvent> events;
  const auto collect = [&](const GenerationCalendar& generation) {
    for (const StageCalendar& stage : generation.stages)
      if (is_key_stage(dossier, stage.stage))
        for (const std::size_t mark : {std::size_t{0}, std::size_t{2}})
          if (const MarkDates& when = stage.enter[mark]; when.at && when.at->date >= from)
            events.push_back({generation.number, stage.stage, mark, when});
  };
  collect(calendar.overwintered);
  for (const GenerationCalendar& generation : calendar.generations) collect(generation);
  std::stable_sort(events.begin(), events.end(), [](const NextEvent& a, const NextEvent& b) { return *a.when.at < *b.when.at; });
  if (events.size() > most) events.resize(most);
  return events;
}

}  // namespace leafturn::phenology
