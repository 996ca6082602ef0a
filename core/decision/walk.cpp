#include "core/decision/walk.hpp"

#include <algorithm>

namespace leafturn::decision {
namespace {

using PestParts = BedParts::PestParts;

// A first look: ten plants at three quarters of a minute each (common practice, no source).
constexpr int first_look = 10;
constexpr double minutes_per_plant = 0.75;
constexpr int most_plants = 50;
constexpr double wanted_precision = 0.25;  // standard error over mean, the field's usual target for management (Southwood, from memory)

struct Candidate {
  Visit visit;
  double value = 0.0;
  bool infested = false;
};

Visit visit_to(const Context& context, const BedParts& bed, const PestParts& p, int plants) {
  const std::string look = stage_to_find(context, *p.dossier, p.parts.target);
  const pest::Stage& stage = p.dossier->stages[*p.dossier->stage_index(look)];
  const int there = plants_in(*p.host);
  Visit v;
  v.bed = bed.brief.bed;
  v.pest = p.dossier->id;
  v.stage = std::string(pest::word_for(stage.group));
  v.look = look;
  v.planting = p.host->sown.planting;
  v.crop = p.host->sown.crop;
  v.plants = there > 0 ? std::min(plants, there) : plants;
  v.minutes = std::max(1, static_cast<int>(v.plants * minutes_per_plant + 0.5));
  v.place = stage.place;
  return v;
}

double value_of(const Context& context, const PestParts& p) {
  const double liking = preference(*p.dossier, p.host->sown.crop) / 3.0;
  const double since = p.parts.days_since_count < 0 ? 1.0 : std::min(1.0, p.parts.days_since_count / 7.0);
  const PestTiming& timing = context.timings.at(p.dossier->id);
  double there = timing.unknown ? 0.3 : 0.0;
  for (std::size_t s = 0; s < timing.present.size(); ++s)
    if (!p.dossier->stages[s].in_soil && p.dossier->stages[s].group != pest::StageGroup::pupa) there += timing.present[s];
  const double over = std::max(p.parts.outlook.p_over.value_or(0.0), p.parts.outlook.p_over_soon.value_or(0.0));
  const double unsettled = 4.0 * over * (1.0 - over);
  return liking * (there * since + unsettled);
}

bool is_infested(const PestParts& p) {
  return std::any_of(p.parts.counts.begin(), p.parts.counts.end(), [](const CountSeen& c) { return c.individuals > 0; });
}

Reason why(const Context& context, const PestParts& p, const Visit& v) {
  std::vector<Fact> facts{{"bed", v.bed},
                          {"crop", crop_term(*p.host)},
                          {"pest", pest_term(*p.dossier)},
                          {"stage", stage_term(v.stage)},
                          {"plants", std::int64_t{v.plants}},
                          {"place", Term{"place." + v.place}}};
  if (p.parts.outlook.timing_unknown) return {"walk.unknown", std::move(facts)};
  if (p.parts.hatch_from && p.parts.hatch_to && *p.parts.hatch_to >= context.today &&
      *p.parts.hatch_from <= context.today + Days{horizon}) {
    facts.push_back({"from", *p.parts.hatch_from});
    facts.push_back({"to", *p.parts.hatch_to});
    return {"walk.hatch", std::move(facts)};
  }
  if (is_infested(p)) return {"walk.count_again", std::move(facts)};
  return {p.parts.days_since_count < 0 ? "walk.never_counted" : "walk.due", std::move(facts)};
}

}  // namespace

std::vector<Visit> walk(const Context& context, const std::vector<BedParts>& beds) {
  std::vector<Candidate> candidates;
  for (const BedParts& bed : beds) {
    const Clearance& entry = bed.brief.entry;
    if (!entry.clear) continue;  // nobody is sent where nobody may go
    for (const PestParts& p : bed.pests) {
      if (p.urgency != Urgency::look) continue;  // what is acted on today needs no look first
      Candidate c{visit_to(context, bed, p, first_look), value_of(context, p), is_infested(p)};
      c.visit.why = why(context, p, c.visit);
      candidates.push_back(std::move(c));
    }
  }
  std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) { return a.value > b.value; });
  std::vector<Candidate> chosen;
  const auto have = [&](const auto& same) { return std::any_of(chosen.begin(), chosen.end(), same); };
  // First one per pest, so that three leaves tell of three pests where they can; then whatever is worth most.
  for (const bool one_each : {true, false})
    for (const Candidate& c : candidates) {
      if (chosen.size() == most_visits) break;
      if (have([&](const Candidate& k) { return k.visit.bed == c.visit.bed || (one_each && k.visit.pest == c.visit.pest); })) continue;
      chosen.push_back(c);
    }
  std::stable_sort(chosen.begin(), chosen.end(), [](const Candidate& a, const Candidate& b) { return a.infested < b.infested; });
  std::vector<Visit> visits;
  for (Candidate& c : chosen) visits.push_back(std::move(c.visit));
  return visits;
}

std::vector<LeftAlone> left_alone(const std::vector<BedParts>& beds, const std::vector<Visit>& visits) {
  std::vector<LeftAlone> out;
  for (const BedParts& bed : beds) {
    const bool visited = std::any_of(visits.begin(), visits.end(), [&](const Visit& v) { return v.bed == bed.brief.bed; });
    if (!visited && bed.brief.urgency >= Urgency::wait) out.push_back({bed.brief.bed, bed.brief.headline});
  }
  return out;
}

std::optional<Visit> deciding_count(const Context& context, const std::vector<BedParts>& beds) {
  const PestParts* best = nullptr;
  const BedParts* where = nullptr;
  double most = 0.3;  // below this the advice stands whatever a count says
  for (const BedParts& bed : beds) {
    if (!bed.brief.entry.clear) continue;
    for (const PestParts& p : bed.pests) {
      const double over = std::max(p.parts.outlook.p_over.value_or(0.0), p.parts.outlook.p_over_soon.value_or(0.0));
      if (const double unsettled = 4.0 * over * (1.0 - over); unsettled > most) {
        most = unsettled;
        best = &p;
        where = &bed;
      }
    }
  }
  if (best == nullptr) return std::nullopt;
  // Plants for the wanted precision at the threshold: (1/m + 1/k)/D² (Karandinos 1976, Bull. Entomol. Soc. Am. 22:417–421, from memory).
  const double m = best->parts.outlook.threshold->value.value;
  const double needed = (1.0 / m + 1.0 / assumed_k) / (wanted_precision * wanted_precision);
  Visit v = visit_to(context, *where, *best, std::min(most_plants, static_cast<int>(needed + 0.999)));
  v.stage = *best->parts.outlook.counted_stage;  // what the threshold counts, whatever else is there
  v.why = {"walk.deciding",
           {{"bed", v.bed},
            {"crop", crop_term(*best->host)},
            {"pest", pest_term(*best->dossier)},
            {"stage", stage_term(v.stage)},
            {"plants", std::int64_t{v.plants}},
            {"threshold", as_published(m)}}};
  return v;
}

}  // namespace leafturn::decision
