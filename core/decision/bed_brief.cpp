#include "core/decision/bed_brief.hpp"

#include <algorithm>
#include <utility>

namespace leafturn::decision {
namespace {

using PestParts = BedParts::PestParts;

// Cut points of advice; common practice, no source. Act when it is likelier than not to be past the threshold.
constexpr double act_at = 0.5;
constexpr double look_at = 0.15;
constexpr int fresh_days = 5;  // a count younger than this needs no repeat
constexpr std::size_t most_beds_named = 3;
constexpr int seedling_days = 35;  // after sowing or setting out, a plant is no seedling any more
constexpr int long_minutes = 60;   // hand work longer than this is said to be long

double over(const PestParts& p) { return std::max(p.parts.outlook.p_over.value_or(0.0), p.parts.outlook.p_over_soon.value_or(0.0)); }

bool hatch_near(const OutlookParts& parts, Date today) {
  return parts.hatch_from && *parts.hatch_from <= today + Days{horizon} && (!parts.hatch_to || *parts.hatch_to >= today);
}

// Its spring hasn't come: the one calendar without dates that says something.
bool not_out_yet(const PestParts& p) { return p.parts.outlook.timing_unknown && p.parts.outlook.timing_unknown->code == "biofix.not_yet"; }

// Something of it to be seen on the plant now or within a few days, by the calendar.
bool due(const Context& context, const PestParts& p) {
  const PestTiming& timing = context.timings.at(p.dossier->id);
  if (timing.quiet) return false;
  if (timing.unknown) return !not_out_yet(p);  // else nothing says it isn't
  for (const StageStand& s : timing.stands) {
    const auto index = p.dossier->stage_index(s.stage);
    if (!index || p.dossier->stages[*index].in_soil || p.dossier->stages[*index].group == pest::StageGroup::pupa) continue;
    if (s.present > 0.05 || (s.from && *s.from <= context.today + Days{3} && (!s.to || *s.to >= context.today))) return true;
  }
  return false;
}

// A crop taken only when nothing better is there: a matter for looking once the better ones are over or the pest has been seen on it.
bool only_a_last_resort(const Context& context, const PestParts& p) {
  if (preference(*p.dossier, p.host->sown.crop) > 1 || !p.parts.counts.empty()) return false;
  const BriefRequest& request = *context.request;
  for (const garden::BedLaid& bed : request.garden->beds)
    for (const garden::Planting* other : request.garden->standing(bed.bed, request.at, context.today))
      if (preference(*p.dossier, other->sown.crop) > 1 && !past_harvest(*other, context.today)) return true;
  return false;
}

// It kills seedlings and leaves grown plants alone, and these are grown.
bool past_its_age(const Context& context, const PestParts& p) {
  bool seedlings_only = false;
  for (const pest::Damage& damage : p.dossier->damages) {
    const bool here = damage.crops.empty() || std::count(damage.crops.begin(), damage.crops.end(), p.host->sown.crop) > 0;
    if (!here) continue;
    if (damage.kind != pest::Damage::Kind::stand) return false;
    seedlings_only = true;
  }
  const auto& set_out = p.host->sown.set_out;
  return seedlings_only && p.parts.counts.empty() && set_out && *set_out + Days{seedling_days} < context.today;
}

bool counted_some(const PestParts& p) {
  return std::any_of(p.parts.counts.begin(), p.parts.counts.end(), [](const CountSeen& c) { return c.individuals > 0; });
}

// Whether a published threshold per plant could be held against the counts.
bool weighed(const PestParts& p) { return p.parts.outlook.p_over || p.parts.outlook.p_over_soon; }

bool has_threshold_per_plant(const PestParts& p) {
  return p.parts.outlook.threshold != nullptr && p.parts.outlook.threshold->measure == pest::Threshold::Measure::per_plant;
}

bool killed_by_winter(const PestParts& p) {
  return p.parts.outlook.timing_unknown && p.parts.outlook.timing_unknown->code == "timing.winter_kill";
}

// Nothing says when it comes, and it was never counted here: whoever turns leaves meets it, so a bed just counted needs no walk for its
// sake.
bool undated(const PestParts& p) { return p.parts.outlook.timing_unknown && p.parts.counts.empty(); }

Urgency urgency_of(const Context& context, const PestParts& p, bool lately_walked) {
  if (undated(p) && lately_walked) return Urgency::wait;
  if (killed_by_winter(p) || past_its_age(context, p)) return Urgency::wait;
  if (only_a_last_resort(context, p)) return Urgency::wait;
  const bool fresh = p.parts.days_since_count >= 0 && p.parts.days_since_count <= fresh_days;
  // Nothing found on too few plants leaves room for many, but nobody picks or sprays what wasn't found: count more plants.
  if (over(p) >= act_at && counted_some(p)) return Urgency::act;
  if (over(p) >= look_at) return Urgency::look;
  const bool quiet = context.timings.at(p.dossier->id).quiet;
  if (!fresh && (due(context, p) || (!quiet && hatch_near(p.parts, context.today)))) return Urgency::look;
  if (p.parts.outlook.timing_unknown && !quiet && !not_out_yet(p) && p.parts.counts.empty()) return Urgency::look;
  if (counted_some(p) && !weighed(p)) return Urgency::look;  // nothing published says how many are too many
  return Urgency::wait;
}

std::vector<Fact> bed_facts(const BedContext& bed, const PestParts& p) {
  return {{"bed", bed.bed}, {"crop", crop_term(*p.host)}, {"pest", pest_term(*p.dossier)}};
}

void add_density(std::vector<Fact>& facts, const Estimate& e, const std::string& stage) {
  facts.push_back({"mean", per_plant(e.mean)});
  facts.push_back({"low", per_plant(e.p05)});
  facts.push_back({"high", per_plant(e.p95)});
  facts.push_back({"stage", stage_term(stage)});
}

Reason headline(const Context& context, const BedContext& bed, const PestParts& p) {
  auto facts = bed_facts(bed, p);
  const PestOutlook& o = p.parts.outlook;
  const auto with_density = [&](const char* code, const Estimate& e) {
    add_density(facts, e, *o.counted_stage);
    if (o.threshold != nullptr) facts.push_back({"threshold", as_published(o.threshold->value.value)});
    if (o.soon) facts.push_back({"on", *o.soon});
    return Reason{code, std::move(facts)};
  };
  const bool act = p.urgency == Urgency::act;
  if (act && o.p_over.value_or(0.0) >= act_at) return with_density("headline.over_now", *o.density);
  if (act && o.p_over_soon.value_or(0.0) >= act_at) return with_density("headline.over_soon", *o.density_soon);
  if (over(p) >= look_at) return with_density("headline.near", *o.density_soon);
  if (p.urgency == Urgency::look) {
    if (counted_some(p) && o.density_soon && !has_threshold_per_plant(p)) return with_density("headline.counted", *o.density_soon);
    if (o.timing_unknown) return {"headline.look_unknown", std::move(facts)};
    if (hatch_near(p.parts, context.today)) {
      facts.push_back({"from", *p.parts.hatch_from});
      facts.push_back({"place", Term{"place." + p.dossier->stages.front().place}});
      if (!p.parts.hatch_to)
        return {*p.parts.hatch_from < context.today ? "headline.look_hatching" : "headline.look_hatch_begins", std::move(facts)};
      facts.push_back({"to", *p.parts.hatch_to});
      return {"headline.look_hatch", std::move(facts)};
    }
    facts.push_back({"stage", stage_term(stage_to_find(context, *p.dossier, p.parts.target))});
    return {"headline.look_due", std::move(facts)};
  }
  if (killed_by_winter(p)) return {"headline.winter_killed", std::move(facts)};
  if (past_its_age(context, p)) return {"headline.past_seedling", std::move(facts)};
  if (!o.p_over_soon && context.timings.at(p.dossier->id).quiet) return {"headline.quiet", std::move(facts)};
  if (o.p_over_soon) return with_density("headline.counted_low", *o.density_soon);
  if (o.density_soon && !has_threshold_per_plant(p)) return with_density("headline.counted", *o.density_soon);
  return {only_a_last_resort(context, p) ? "headline.last_resort" : "headline.not_due", std::move(facts)};
}

bool by_hand(const Option& o) { return o.means == "hand-pick" || o.means == "crush-eggs" || o.means == "water"; }

bool only_looked_for(const PestParts& p) { return p.urgency == Urgency::look && (!counted_some(p) || has_threshold_per_plant(p)); }

// Where its next find lies below the leaves: at the stem, in roots, seed or soil.
bool below_leaves(const Context& context, const PestParts& p) {
  const auto stage = p.dossier->stage_index(stage_to_find(context, *p.dossier, p.parts.target));
  if (!stage) return false;
  const std::string& place = p.dossier->stages[*stage].place;
  return place == "soil" || place == "beside-stem" || place == "in-roots" || place == "in-seed";
}

// One walk through the bed for all that is to be looked for in it.
void say_where_to_look(const Context& context, const BedContext& bed, const std::vector<PestParts>& pests, std::vector<Reason>& act) {
  std::vector<const PestParts*> leaves, ground;
  for (const PestParts& p : pests)
    if (only_looked_for(p)) (below_leaves(context, p) ? ground : leaves).push_back(&p);
  const auto say = [&](const std::vector<const PestParts*>& some, const char* one, const char* several) {
    if (some.empty()) return;
    Terms names;
    for (const PestParts* p : some) names.keys.push_back(pest_term(*p->dossier));
    auto facts = bed_facts(bed, *some.front());
    facts.push_back({"pests", std::move(names)});
    act.push_back({some.size() == 1 ? one : several, std::move(facts)});
  };
  say(leaves, "do.look", "do.look_several");
  say(ground, "do.look_ground", "do.look_ground");
}

// Hand work first; when that would take long, the gentlest spray that may be used is named beside it.
void say_what_to_do(const BedContext& bed, const PestParts& p, const std::vector<Option>& offered, std::vector<Reason>& act) {
  const bool look = p.urgency == Urgency::look;
  if (only_looked_for(p)) return;
  int minutes = 0;
  for (const Option& o : offered) {
    if (!by_hand(o)) continue;
    std::vector<Fact> facts = bed_facts(bed, p);
    facts.push_back({"minutes", std::int64_t{o.minutes}});
    act.push_back({o.minutes > 0 ? "do." + o.means : "do." + o.means + "_untimed", std::move(facts)});
    minutes = std::max(minutes, o.minutes);
  }
  const auto spray = std::find_if(offered.begin(), offered.end(), [](const Option& o) { return o.card.has_value(); });
  if (!look && spray != offered.end() && (minutes > long_minutes || minutes == 0)) {
    std::vector<Fact> facts = bed_facts(bed, p);
    facts.push_back({"product", spray->means});
    act.push_back({"do.consider_spray", std::move(facts)});
    if (spray->judgement->earliest_harvest)
      act.push_back({"do.harvest_from", {{"bed", bed.bed}, {"product", spray->means}, {"from", *spray->judgement->earliest_harvest}}});
  }
  act.push_back({act.empty() ? "do.nothing_offered" : "do.count_again", bed_facts(bed, p)});
}

void say_old_crop(const BedContext& bed, const PestParts& p, std::vector<Reason>& act) {
  if (!counted_some(p) || !past_harvest(*p.host, bed.all->today)) return;
  std::string risk;
  for (const std::string& other : at_risk(bed, *p.dossier, most_beds_named)) risk += (risk.empty() ? "" : ", ") + other;
  auto facts = bed_facts(bed, p);
  facts.push_back({"beds", risk});
  act.insert(act.begin(), {risk.empty() ? "do.old_crop_alone" : "do.old_crop", std::move(facts)});
}

void sort_by_urgency(std::vector<PestParts>& pests) {
  std::stable_sort(pests.begin(), pests.end(), [](const PestParts& a, const PestParts& b) {
    if (a.urgency != b.urgency) return a.urgency < b.urgency;
    return undated(a) != undated(b) ? undated(b) : over(a) > over(b);  // what has a date comes before what has none
  });
}

}  // namespace

BedParts bed_brief(const Context& context, const std::string& name) {
  const BriefRequest& request = *context.request;
  BedParts out;
  BedBrief& brief = out.brief;
  brief.bed = name;
  const BedContext bed = bed_context(context, name);
  brief.harvest = bed.clearance.harvest;
  brief.entry = bed.clearance.entry;
  if (bed.standing.empty()) {
    brief.headline = {"headline.empty", {{"bed", name}}};
  } else {
    brief.planting = bed.main().sown.planting;
    brief.crop = bed.main().sown.crop;
    brief.headline = {"headline.no_pest_known", {{"bed", name}, {"crop", crop_term(bed.main())}}};
  }
  for (const pest::Dossier& dossier : request.library->pests) {
    const garden::Planting* host = best_host(bed, dossier);
    if (host == nullptr) continue;
    PestParts p{&dossier, host, outlook(bed, dossier, *host), Urgency::none};
    out.pests.push_back(std::move(p));
  }
  const bool lately_walked = std::any_of(out.pests.begin(), out.pests.end(), [](const PestParts& p) {
    return p.parts.days_since_count >= 0 && p.parts.days_since_count <= fresh_days;
  });
  for (PestParts& p : out.pests) p.urgency = urgency_of(context, p, lately_walked);
  sort_by_urgency(out.pests);
  for (const PestParts& p : out.pests) {
    brief.pests.push_back(p.parts.outlook);
    Choices found = choices(bed, *p.dossier, p.parts, *p.host);
    say_old_crop(bed, p, brief.act);
    if (p.urgency == Urgency::wait) continue;
    say_what_to_do(bed, p, found.offered, brief.act);
    // What hasn't been looked at, or wasn't found, has nothing to be sprayed for.
    if (p.urgency == Urgency::look && (over(p) < look_at || !counted_some(p))) continue;
    std::move(found.offered.begin(), found.offered.end(), std::back_inserter(brief.options));
    std::move(found.refused.begin(), found.refused.end(), std::back_inserter(brief.refused));
  }
  say_where_to_look(context, bed, out.pests, brief.act);
  if (!out.pests.empty()) {
    brief.urgency = out.pests.front().urgency;
    brief.headline = headline(context, bed, out.pests.front());
  }
  // Nobody is told to work where nobody may go: that comes first, and nothing else until then.
  if (!bed.clearance.entry.clear && !brief.act.empty()) {
    brief.act.clear();
    brief.options.clear();
    if (const auto& from = bed.clearance.entry.from) {
      brief.act.push_back({"do.not_before", {{"bed", name}, {"from", request.zone.civil(*from)}}});
    } else {
      brief.act.push_back({"do.keep_out", {{"bed", name}}});
    }
  }
  if (bed.clearance.not_judged) {
    brief.urgency = Urgency::lock;
    brief.headline = {"headline.not_judged", {{"bed", name}}};
    brief.act.insert(brief.act.begin(), {"do.not_judged", {{"bed", name}}});
  }
  if (bed.clearance.locked) {
    brief.urgency = Urgency::lock;
    brief.headline = {"headline.locked", {{"bed", name}}};
    brief.act.insert(brief.act.begin(), {"do.locked", {{"bed", name}}});
  }
  return out;
}

}  // namespace leafturn::decision
