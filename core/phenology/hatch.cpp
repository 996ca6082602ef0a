#include "core/phenology/hatch.hpp"

#include <algorithm>

#include "core/phenology/felt.hpp"
#include "core/phenology/parts.hpp"
#include "core/phenology/rest.hpp"

namespace leafturn::phenology {
namespace {

using weather::HourlySeries;

struct Outcome {
  std::vector<Quantiles> enter;  ///< by stage
  std::vector<double> share;
  double resting = 0.0;
};

void place_found(Chain& chain, const HatchRequest& request, int substages) {
  const auto k = static_cast<std::size_t>(substages);
  const std::size_t quarter = std::max<std::size_t>(1, k / 4);
  switch (request.age) {
    case Age::fresh:
      chain.place_evenly(request.stage, 1.0, 0, 1);
      break;
    case Age::unknown:
      chain.place_evenly(request.stage, 1.0);
      break;
    case Age::old:
      chain.place_evenly(request.stage, 1.0, k - quarter, quarter);
      break;
  }
}

Outcome go_on(const HatchRequest& request, const HourlySeries& air, Date last) {
  const pest::Dossier& dossier = *request.dossier;
  const std::size_t stages = dossier.stages.size();
  const auto lengths = chain_lengths(dossier);
  Chain chain{lengths, rest_rule(dossier)};
  place_found(chain, request, lengths[request.stage]);
  Felt felt{dossier, air};
  std::vector<Marks> passed(stages);
  Outcome out;
  out.share.assign(stages, 0.0);
  ChainFlow flow;
  for (Date date = request.found.date; date <= last && !chain.empty(); date = date + Days{1}) {
    const double since = date == request.found.date ? request.found.hour() : 0.0;
    const double bound = bound_share(dossier, request.site, date);
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const double to = static_cast<double>(hour) + 1.0;
      const double hours = std::clamp(to - since, 0.0, 1.0);
      if (hours <= 0.0) continue;
      chain.advance({felt.rates(date, hour), hours, 0.0, 0, bound}, flow);
      for (std::size_t s = 0; s < stages; ++s) {
        passed[s].passed(out.share[s], out.share[s] + flow.entered[s], date, to - hours, to);
        out.share[s] += flow.entered[s];
      }
    }
  }
  for (const Marks& marks_passed : passed) out.enter.push_back(marks_passed.quantiles());
  out.resting = chain.resting();
  return out;
}

}  // namespace

Hatch hatch(const HatchRequest& request, std::span<const HourlySeries> futures) {
  Hatch out;
  out.members = futures.size();
  std::vector<Outcome> outcomes;
  for (const HourlySeries& air : futures) {
    Date last = Date::from_ymd(request.found.date.year(), 12, 31).value_or(request.found.date);
    if (!air.days.empty()) last = std::min(last, air.first + Days{static_cast<std::int32_t>(air.days.size()) - 1});
    if (request.last) last = std::min(last, *request.last);
    if (&air == futures.data()) out.gaps = gaps_between(air, request.found.date, last);
    outcomes.push_back(go_on(request, air, last));
  }
  std::vector<double> resting;
  for (const Outcome& outcome : outcomes) resting.push_back(outcome.resting);
  out.resting = share_over(std::move(resting));
  for (std::size_t stage = request.stage + 1; stage < request.dossier->stages.size(); ++stage) {
    StageCalendar dates;
    dates.stage = stage;
    for (std::size_t mark = 0; mark < dates.enter.size(); ++mark) {
      std::vector<std::optional<CivilTime>> times;
      for (const Outcome& outcome : outcomes) times.push_back(mark_of(outcome.enter[stage], mark));
      dates.enter[mark] = over_members(std::move(times));
    }
    for (const Outcome& outcome : outcomes) dates.share += outcome.share[stage] / static_cast<double>(outcomes.size());
    out.stages.push_back(dates);
  }
  return out;
}

}  // namespace leafturn::phenology
