#include "core/decision/advice.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"
#include "core/decision/carry.hpp"
#include "core/decision/compare.hpp"
#include "core/decision/day_calendars.hpp"
#include "core/decision/work.hpp"

namespace leafturn::decision {
namespace {

constexpr double act_at = 0.5;
constexpr double fair = 0.5;
constexpr int long_minutes = 60;
constexpr int near_maturity_days = 14;
constexpr int seedling_days = 14;

bool applies(const pest::Threshold& t, std::string_view crop) {
  return t.crops.empty() || std::find(t.crops.begin(), t.crops.end(), crop) != t.crops.end();
}

// (1 + m/k)^−k = 1 − share.
double mean_of_share(double share, double k) { return k * (num::pow(1.0 - share, -1.0 / k) - 1.0); }

bool by_hand(const Option& o) { return o.means == "hand-pick" || o.means == "crush-eggs" || o.means == "water"; }

std::vector<Fact> facts_of(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host) {
  return {{"bed", bed.bed}, {"crop", crop_term(host)}, {"pest", pest_term(dossier)}};
}

}  // namespace

bool fits_age(const pest::Threshold& threshold, const garden::Planting& planting, Date today) {
  const auto& first = planting.sown.first_harvest;
  const auto& set_out = planting.sown.set_out;
  const bool late = first && today >= *first - Days{near_maturity_days};
  if (threshold.growth == "near-maturity") return !first || late;
  if (threshold.growth == "cupping") return !late;
  if (threshold.growth == "seedbed") return set_out && today < *set_out + Days{seedling_days};
  if (threshold.growth == "until-flowering") return !first || today < *first;
  return true;
}

std::optional<Weighed> weigh(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host, int days) {
  const BriefRequest& request = *bed.all->request;
  const PestTiming& timing = bed.all->timings.at(dossier.id);
  const auto counts =
      latest_counts(*request.garden, dossier, bed.bed, request.zone, request.at, last_pull(*request.garden, bed.bed, request.at));
  std::optional<Weighed> best;
  if (counts.empty()) return best;
  const auto work = work_done(request, bed.bed, dossier);
  for (const pest::Threshold& t : dossier.thresholds) {
    if (!applies(t, host.sown.crop) || !fits_age(t, host, bed.all->today)) continue;
    const Target counted = target_for(dossier, &t);
    const Carried carried = carry(dossier, bed.all->air, timing, counts, work, counted.stages, horizon, aged_in(*bed.all->request));
    if (carried.spoken_for[0] < says_something && carried.spoken_for[1] < says_something) continue;
    Weighed w;
    w.threshold = &t;
    const bool share = t.measure == pest::Threshold::Measure::share_of_plants;
    w.limit = share ? mean_of_share(t.value.value, assumed_k) : t.value.value * counted.in_one;
    w.now = carried.days[0];
    w.p_now = probability_over(w.now, w.limit);
    for (std::size_t d = 0; d < std::min(carried.days.size(), static_cast<std::size_t>(days) + 2); ++d)
      if (const double p = probability_over(carried.days[d], w.limit); p > w.p_soon) {
        w.p_soon = p;
        if (p >= act_at && !w.soon) w.soon = bed.all->today + Days{static_cast<std::int32_t>(d) - 1};
      }
    if (!best || w.p_now > best->p_now || (w.p_now >= best->p_now && w.p_soon > best->p_soon)) best = w;
  }
  return best;
}

Advice advise(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host, const Choices& choices,
              int next_look_days) {
  Advice out;
  const auto weighed = weigh(bed, dossier, host, next_look_days);
  if (!weighed) return out;
  auto facts = facts_of(bed, dossier, host);
  facts.push_back({"threshold", as_published(weighed->threshold->value.value)});
  if (weighed->p_now < act_at) {
    if (weighed->p_soon < act_at) return out;
    for (const Option& o : choices.offered)
      if (o.means == "crush-eggs" && o.minutes <= long_minutes) out.act.push_back(o);
    out.look = std::max(*weighed->soon, bed.all->today + Days{1});
    facts.push_back({"on", *out.look});
    facts.push_back({"p", Share{weighed->p_soon}});
    out.why.push_back({"advice.look_again", std::move(facts)});
    return out;
  }
  facts.push_back({"p", Share{weighed->p_now}});
  out.why.push_back({"advice.over", facts});
  std::vector<const Option*> order;
  const auto works = [](const Option& o) { return 0.5 * (o.low + o.high) >= fair; };
  for (const Option& o : choices.offered)
    if (works(o) && o.means != "crush-eggs" && o.means != "cover" && o.means != "pull" && !(by_hand(o) && o.minutes > long_minutes))
      order.push_back(&o);
  for (const Option& o : choices.offered)
    if (works(o) && o.means != "crush-eggs" && by_hand(o) && o.minutes > long_minutes) order.push_back(&o);
  std::stable_sort(order.begin(), order.end(),
                   [&](const Option* a, const Option* b) { return !tried_lately(bed, a->means) && tried_lately(bed, b->means); });
  if (order.empty()) {
    for (const Option& o : choices.offered)
      if (o.means == "crush-eggs") out.act.push_back(o);
    if (out.act.empty()) out.why.push_back({"advice.nothing_fair", facts_of(bed, dossier, host)});
    return out;
  }
  const Option& first = *order.front();
  out.act.push_back(first);
  if (order.size() > 1 && std::any_of(choices.offered.begin(), choices.offered.end(),
                                      [&](const Option& o) { return o.order < first.order && works(o) && tried_lately(bed, o.means); }))
    out.why.push_back({"advice.tried", facts_of(bed, dossier, host)});
  if (by_hand(first))
    for (const Option& o : choices.offered)
      if (o.means == "crush-eggs") out.act.push_back(o);
  return out;
}

}  // namespace leafturn::decision
