#include "core/decision/outlook.hpp"

#include <algorithm>

#include "core/decision/day_calendars.hpp"
#include "core/decision/numbers.hpp"
#include "core/decision/work.hpp"
#include "core/population/life.hpp"
#include "core/population/world.hpp"

namespace leafturn::decision {
namespace {

using pest::StageGroup;

bool applies(const pest::Threshold& t, std::string_view crop) {
  return t.crops.empty() || std::find(t.crops.begin(), t.crops.end(), crop) != t.crops.end();
}

std::vector<std::size_t> in_groups(const pest::Dossier& dossier, std::initializer_list<StageGroup> groups) {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < dossier.stages.size(); ++i)
    if (std::find(groups.begin(), groups.end(), dossier.stages[i].group) != groups.end()) found.push_back(i);
  return found;
}

std::vector<std::size_t> target_of(const pest::Dossier& dossier, const pest::Threshold* threshold) {
  if (threshold != nullptr && threshold->stage != "any")
    if (auto word = pest::stages_for(dossier, threshold->stage); !word.stages.empty()) return word.stages;
  if (threshold != nullptr && threshold->stage == "any")
    return in_groups(dossier, {StageGroup::nymph, StageGroup::larva, StageGroup::adult});
  return in_groups(dossier, {StageGroup::nymph, StageGroup::larva});
}

std::string target_word(const pest::Dossier& dossier, const pest::Threshold* threshold, const std::vector<std::size_t>& target) {
  const bool several = threshold != nullptr && (threshold->stage == "any" || threshold->stage == "feeding");
  if (threshold != nullptr && !several) return threshold->stage;
  if (several) return in_groups(dossier, {StageGroup::nymph}).empty() ? "larva-or-adult" : "nymph-or-adult";
  return target.empty() ? "any" : std::string(pest::word_for(dossier.stages[target.front()].group));
}

// Days since this pest was last looked for on the leaves here this year, found or not, however long ago; −1 = never. Whoever watched only
// for adults has not turned leaves over, and settles nothing unless adults are what there is to find.
int days_since_look(const BedContext& bed, const pest::Dossier& dossier, const std::vector<std::size_t>& target) {
  const auto to_find = dossier.stage_index(stage_to_find(*bed.all, dossier, target));
  const bool adults_will_do = to_find && dossier.stages[*to_find].group == StageGroup::adult;
  const auto on_leaves = [&](std::size_t s) {
    const StageGroup group = dossier.stages[s].group;
    return group == StageGroup::egg || group == StageGroup::nymph || group == StageGroup::larva ||
           (group == StageGroup::adult && adults_will_do);
  };
  int days = -1;
  for (const auto& count : bed.all->request->garden->counts) {
    if (count.what.bed != bed.bed || (count.what.pest != dossier.id && count.what.pest != dossier.eppo)) continue;
    const auto stages = pest::stages_for(dossier, count.what.stage).stages;
    if (std::none_of(stages.begin(), stages.end(), on_leaves)) continue;
    const Date day = bed.all->request->zone.civil(count.at).date;
    const int ago = (bed.all->today - day).count;
    if (ago <= population::longest_season && (days < 0 || ago < days)) days = ago;
  }
  return days;
}

// A hatch with less than this of its generation still to come is over, whether or not the days' shortening ever let it be whole.
constexpr double worth_saying = 0.05;

void find_hatch(const pest::Dossier& dossier, const PestTiming& timing, OutlookParts& parts) {
  const auto feeding = in_groups(dossier, {StageGroup::nymph, StageGroup::larva});
  if (feeding.empty()) return;
  for (const StageStand& stand : timing.stands)
    if (stand.stage == dossier.stages[feeding.front()].key && stand.from && stand.ahead > worth_saying) {
      parts.hatch_from = stand.from;
      parts.hatch_to = stand.to;
    }
}

double over(const PestOutlook& o) { return std::max(o.p_over.value_or(0.0), o.p_over_soon.value_or(0.0)); }

void fill_density(const BedContext& bed, const pest::Dossier& dossier, const PestTiming& timing, OutlookParts& parts) {
  PestOutlook& out = parts.outlook;
  auto [days, spoken_for] = carry(dossier, bed.all->air, timing, parts.counts, work_done(*bed.all->request, bed.bed, dossier), parts.target,
                                  horizon, aged_in(*bed.all->request));
  for (Density& day : days) day.mean /= parts.in_one;
  const bool per_plant = out.threshold != nullptr && out.threshold->measure == pest::Threshold::Measure::per_plant;
  out.counted_on = parts.counts.front().at.date;
  if (spoken_for[0] >= says_something) {
    out.density = estimate(days[0]);
    if (per_plant) out.p_over = probability_over(days[0], out.threshold->value.value);
  }
  std::size_t highest = 1;
  for (std::size_t d = 2; d < days.size(); ++d)
    if (days[d].mean > days[highest].mean) highest = d;
  if (spoken_for[highest] < says_something) return;
  out.density_soon = estimate(days[highest]);
  out.soon = bed.all->today + Days{static_cast<std::int32_t>(highest) - 1};
  if (per_plant) out.p_over_soon = probability_over(days[highest], out.threshold->value.value);
}

// What the population model says of this bed, where it may speak.
const PestNumbers* numbers_for(const BedContext& bed, const pest::Dossier& dossier) {
  const auto* all = bed.all->request->numbers;
  if (all == nullptr) return nullptr;
  const auto found = all->find(dossier.id);
  if (found == all->end() || !found->second.gate.passed || !found->second.numbers) return nullptr;
  const auto place = found->second.numbers->bed(bed.bed);
  return place && found->second.numbers->plants(bed.all->today, *place) > 0.0 ? &found->second : nullptr;
}

void fill_learned(const BedContext& bed, const Numbers& numbers, OutlookParts& parts) {
  PestOutlook& out = parts.outlook;
  const std::size_t place = *numbers.bed(bed.bed);
  const auto short_of = [](const Spread& s) { return Estimate{s.mean, s.p05, s.p95}; };
  const bool per_plant = out.threshold != nullptr && out.threshold->measure == pest::Threshold::Measure::per_plant;
  const auto over_on = [&](Date day) {
    return per_plant ? numbers.over(day, place, parts.target, parts.there, out.threshold->value.value) : std::nullopt;
  };
  out.basis = Basis::population;
  if (!parts.counts.empty()) out.counted_on = parts.counts.front().at.date;
  const Date today = std::max(bed.all->today, numbers.first());
  if (const auto now = numbers.spread(today, place, parts.target, parts.there)) out.density = short_of(*now);
  out.p_over = over_on(today);
  const Date last = std::min(bed.all->today + Days{horizon}, numbers.last());
  for (Date d = today; d <= last; d = d + Days{1}) {
    const auto then = numbers.spread(d, place, parts.target, parts.there);
    if (!then || (out.density_soon && then->mean <= out.density_soon->mean)) continue;
    out.density_soon = short_of(*then);
    out.soon = d;
  }
  if (out.soon) out.p_over_soon = over_on(*out.soon);
}

// Several thresholds may be published for one crop (adults, small larvae, large larvae): the one likeliest to be passed speaks; before
// anything was counted, the one for what there is to find.
void weigh_thresholds(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host, OutlookParts& parts) {
  const PestTiming& timing = bed.all->timings.at(dossier.id);
  const PestNumbers* learned = numbers_for(bed, dossier);
  std::optional<OutlookParts> best;
  const auto finds = [&](const OutlookParts& p) {
    const auto wanted = dossier.stage_index(stage_to_find(*bed.all, dossier, p.target));
    return wanted && std::find(p.target.begin(), p.target.end(), *wanted) != p.target.end();
  };
  const auto weigh = [&](const pest::Threshold* threshold) {
    OutlookParts tried = parts;
    tried.outlook.threshold = threshold;
    Target target = target_for(dossier, threshold);
    tried.target = std::move(target.stages);
    tried.in_one = target.in_one;
    tried.there = target.there;
    tried.outlook.counted_stage = std::move(target.word);
    if (learned != nullptr)
      fill_learned(bed, *learned->numbers, tried);
    else if (!tried.counts.empty())
      fill_density(bed, dossier, timing, tried);
    if (!best || over(tried.outlook) > over(best->outlook) || (tried.counts.empty() && !finds(*best) && finds(tried)))
      best = std::move(tried);
  };
  weigh(threshold_for(dossier, host.sown.crop));
  for (const pest::Threshold* t : thresholds_per_plant(dossier, host.sown.crop)) weigh(t);
  parts = std::move(*best);
}

void say_learned(const BedContext& bed, const pest::Dossier& dossier, PestOutlook& out) {
  const PestNumbers& learned = *numbers_for(bed, dossier);
  out.why.push_back({"outlook.population", {{"pest", pest_term(dossier)}, {"n", std::int64_t{learned.gate.counts}}}});
  Terms unknown;
  for (const population::Unknown u : learned.not_learned.at(*learned.numbers->bed(bed.bed)))
    unknown.keys.push_back({"unknown." + std::string(word_for(u))});
  if (!unknown.keys.empty()) out.why.push_back({"outlook.not_learned", {{"what", std::move(unknown)}}});
}

void say_why(const BedContext& bed, const pest::Dossier& dossier, const OutlookParts& parts, PestOutlook& out) {
  const Date today = bed.all->today;
  if (out.timing_unknown) out.why.push_back(*out.timing_unknown);
  if (parts.hatch_from && *parts.hatch_from <= today + Days{horizon} && (!parts.hatch_to || *parts.hatch_to >= today - Days{2})) {
    std::vector<Fact> facts = {{"pest", pest_term(dossier)}, {"from", *parts.hatch_from}};
    if (parts.hatch_to) facts.push_back({"to", *parts.hatch_to});
    const char* open_end = *parts.hatch_from < today ? "outlook.hatch_on" : "outlook.hatch_begins";
    out.why.push_back({parts.hatch_to ? "outlook.hatch_window" : open_end, std::move(facts)});
  }
  for (const CountSeen& c : parts.counts)
    out.why.push_back({"outlook.counted",
                       {{"count", std::int64_t{c.individuals}},
                        {"plants", std::int64_t{c.plants}},
                        {"what", stage_term(pest::label_for(dossier, pest::stages_for(dossier, c.count->what.stage)))},
                        {"on", c.at.date}}});
  if (out.basis == Basis::population)
    say_learned(bed, dossier, out);
  else if (out.density || out.density_soon)
    out.why.push_back({"outlook.carried", {{"k", Number{assumed_k, 0}}}});
  if (out.threshold == nullptr) {
    out.why.push_back({"outlook.no_threshold", {{"pest", pest_term(dossier)}}});
  } else {
    const bool share = out.threshold->measure == pest::Threshold::Measure::share_of_plants;
    const FactValue value = share ? FactValue{Share{out.threshold->value.value}} : FactValue{as_published(out.threshold->value.value)};
    out.why.push_back({share ? "outlook.threshold_share" : "outlook.threshold",
                       {{"value", value},
                        {"stage", stage_term(*out.counted_stage)},
                        {"source", out.threshold->value.source.citation},
                        {"known", Term{"known." + std::string(pest::word_for(out.threshold->value.source.known))}}}});
  }
}

}  // namespace

Target target_for(const pest::Dossier& dossier, const pest::Threshold* threshold) {
  Target target;
  target.stages = target_of(dossier, threshold);
  target.word = target_word(dossier, threshold, target.stages);
  // Counts are carried on as individuals, also where the threshold counts masses.
  const bool masses = threshold != nullptr && pest::stages_for(dossier, threshold->stage).masses;
  if (masses && dossier.laying.per_mass) target.in_one = dossier.laying.per_mass->value;
  double seen = 0.0;
  for (const std::size_t s : target.stages) seen += population::share_seen(dossier, s) / static_cast<double>(target.stages.size());
  // What is never seen is compared as it is.
  target.there = target.in_one / (seen > 0.0 ? seen : 1.0);
  return target;
}

std::vector<const pest::Threshold*> thresholds_per_plant(const pest::Dossier& dossier, std::string_view crop) {
  std::vector<const pest::Threshold*> found;
  for (const pest::Threshold& t : dossier.thresholds)
    if (applies(t, crop) && t.measure == pest::Threshold::Measure::per_plant) found.push_back(&t);
  return found;
}

const pest::Threshold* threshold_for(const pest::Dossier& dossier, std::string_view crop) {
  const pest::Threshold* other = nullptr;
  for (const pest::Threshold& t : dossier.thresholds) {
    if (!applies(t, crop)) continue;
    if (t.measure == pest::Threshold::Measure::per_plant) return &t;
    if (other == nullptr) other = &t;
  }
  return other;
}

std::string stage_to_find(const Context& context, const pest::Dossier& dossier, const std::vector<std::size_t>& target) {
  const PestTiming& timing = context.timings.at(dossier.id);
  std::size_t best = target.empty() ? 0 : target.front();
  double most = 0.0;
  for (std::size_t s = 0; s < dossier.stages.size(); ++s) {
    const pest::Stage& stage = dossier.stages[s];
    if (stage.in_soil || stage.group == StageGroup::pupa) continue;
    double weight = s < timing.present.size() ? timing.present[s] : 0.0;
    for (const StageStand& stand : timing.stands)
      if (stand.stage == stage.key && stand.from && *stand.from <= context.today + Days{2} && (!stand.to || *stand.to >= context.today))
        weight += 0.2;
    if (weight > most) {
      most = weight;
      best = stage.place == "flying" ? 0 : s;
    }
  }
  return dossier.stages[best].key;
}

OutlookParts outlook(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host) {
  const BriefRequest& request = *bed.all->request;
  OutlookParts parts;
  PestOutlook& out = parts.outlook;
  out.pest = dossier.id;
  const PestTiming& timing = bed.all->timings.at(dossier.id);
  out.stages = timing.stands;
  out.timing_unknown = timing.unknown;
  parts.counts =
      latest_counts(*request.garden, dossier, bed.bed, request.zone, request.at, last_pull(*request.garden, bed.bed, request.at));
  find_hatch(dossier, timing, parts);
  weigh_thresholds(bed, dossier, host, parts);
  parts.days_since_count = days_since_look(bed, dossier, parts.target);
  say_why(bed, dossier, parts, out);
  return parts;
}

}  // namespace leafturn::decision
