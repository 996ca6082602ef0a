#include "core/decision/carried_count.hpp"

#include "core/decision/day_calendars.hpp"
#include "core/decision/work.hpp"

namespace leafturn::decision {
namespace {

Air first_future(const Air& air) {
  Air one{{}, air.site, air.today};
  if (!air.members.empty()) one.members.push_back(air.members.front());
  return one;
}

}  // namespace

CarriedCounts::CarriedCounts(const BriefRequest& request, const pest::Dossier& dossier, const Air& air)
    : request_{request}, dossier_{dossier}, air_{first_future(air)}, timing_{timing_in(request, dossier, air_, air_.today.day_of_year())} {}

std::optional<population::NegativeBinomial> CarriedCounts::expect(const std::string& bed, Instant at, Instant known_before,
                                                                  const std::vector<std::size_t>& stages, double in_one, int plants) {
  const Instant before = known_before - Duration{1};
  const CivilTime when = request_.zone.civil(at);
  const auto counts = latest_counts(*request_.garden, dossier_, bed, request_.zone, before, last_pull(*request_.garden, bed, before));
  if (counts.empty() || plants < 1) return std::nullopt;
  auto work = work_done(request_, bed, dossier_);
  std::erase_if(work, [&](const WorkEffect& w) { return w.at >= when; });
  air_.today = when.date;
  const Carried carried = carry(dossier_, air_, timing_, counts, std::move(work), stages, 0, aged_in(request_));
  // Days are known at their ends.
  const double part = when.second_of_day / 86400.0;
  const auto at_that_hour = [part](double evening_before, double evening) { return evening_before + part * (evening - evening_before); };
  if (at_that_hour(carried.spoken_for[0], carried.spoken_for[1]) < says_something) return std::nullopt;
  const double density = at_that_hour(carried.days[0].mean, carried.days[1].mean) / in_one;
  const double doubt = at_that_hour(carried.days[0].relative_variance, carried.days[1].relative_variance);
  return population::NegativeBinomial{density * plants, 1.0 / (doubt + (1.0 + doubt) / (plants * assumed_k))};
}

}  // namespace leafturn::decision
