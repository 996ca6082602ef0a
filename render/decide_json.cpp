#include "render/decide.hpp"
#include "render/parts_json.hpp"

#include "core/decision/numbers.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

ordered_json reasons(const std::vector<Reason>& all, const words::Style& style) { return ordered_json(reasons_json(all, style)); }

template <class T>
ordered_json or_null(const std::optional<T>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json expectation_json(const decision::Expectation& e) {
  return {{"mean", tidy(e.mean)}, {"p05", tidy(e.p05)}, {"p95", tidy(e.p95)}, {"error", tidy(e.error)}};
}

ordered_json source_json(const pest::Source& source) { return {{"source", source.citation}, {"known", pest::word_for(source.known)}}; }

ordered_json effect_json(const decision::Act& act) {
  if (act.stages.empty()) return nullptr;
  ordered_json out = source_json(act.source);
  out["low"] = act.low;
  out["high"] = act.high;
  out["stages"] = act.stages;
  return out;
}

ordered_json threshold_json(const pest::Threshold* threshold) {
  if (threshold == nullptr) return nullptr;
  ordered_json out = source_json(threshold->value.source);
  out["value"] = threshold->value.value;
  out["measure"] = threshold->measure == pest::Threshold::Measure::per_plant ? "per_plant" : "share_of_plants";
  out["stage"] = threshold->stage;
  return out;
}

ordered_json option_json(const decision::Ranked& r, const words::Style& style, const Zone& zone) {
  const decision::Act& act = *r.act;
  return {{"means", act.means},
          {"name", name_of(act, style)},
          {"on", act.on.iso()},
          {"loss", expectation_json(r.loss)},
          {"saved", expectation_json(r.saved)},
          {"share", {{"mean", tidy(r.share.mean)}, {"p05", tidy(r.share.p05)}, {"p95", tidy(r.share.p95)}}},
          {"p_over", tidy(r.p_over)},
          {"days_over", tidy(r.days_over)},
          {"tied", r.tied},
          {"minutes", or_null(act.minutes)},
          {"effect", effect_json(act)},
          {"earliest_harvest", act.judgement && act.judgement->earliest_harvest
                                   ? ordered_json(zone.iso(zone.instant(*act.judgement->earliest_harvest)))
                                   : ordered_json(nullptr)},
          {"why", reasons(act.why, style)}};
}

ordered_json refused_json(const decision::Act& act, const words::Style& style) {
  ordered_json lines = ordered_json::array();
  if (act.judgement)
    for (const auto& one : outcomes_json(*act.judgement, style))
      if (one["state"] == "refused" || one["state"] == "unknown") lines.push_back(ordered_json(one));
  return {{"means", act.means}, {"on", act.on.iso()}, {"why", reasons(act.why, style)}, {"reasons", std::move(lines)}};
}

ordered_json crop_name_json(const std::string& crop, const words::Style& style) { return words::say_key("crop." + crop, style); }

template <class Answer>
ordered_json heading(const Answer& answer, const words::Style& style) {
  return {{"at", answer.zone.iso(answer.at)},
          {"day", answer.day.iso()},
          {"garden", answer.garden_name},
          {"marked", or_null(answer.marked)},
          {"bed", answer.bed},
          {"planting", or_null(answer.planting)},
          {"crop", or_null(answer.crop)},
          {"crop_name", answer.crop ? crop_name_json(*answer.crop, style) : ordered_json(nullptr)},
          {"nothing", answer.nothing ? ordered_json(reason_json(*answer.nothing, style)) : ordered_json(nullptr)}};
}

ordered_json pest_json(const app::PestCompared& p, const app::CompareAnswer& answer, const words::Style& style) {
  ordered_json out{{"pest", p.dossier->id},
                   {"name", words::say_key("pest." + p.dossier->id + ".name", style)},
                   {"basis", decision::word_for(p.rests_on())},
                   {"gate", reason_json(p.gate.why, style)},
                   {"unit", decision::word_for(p.comparison.unit)},
                   {"threshold", threshold_json(p.basis.threshold)},
                   {"why", reasons(p.comparison.why, style)},
                   {"by_timing", {{"act", ordered_json::array()}, {"look", nullptr}, {"why", reasons(p.by_timing.why, style)}}},
                   {"options", ordered_json::array()},
                   {"refused", ordered_json::array()},
                   {"assumed", reasons(p.assumed, style)}};
  for (const decision::Option& o : p.by_timing.act)
    out["by_timing"]["act"].push_back({{"means", o.means}, {"name", o.card ? o.means : words::say_key("means." + o.means, style)}});
  if (p.by_timing.look) out["by_timing"]["look"] = p.by_timing.look->iso();
  for (const decision::Ranked& r : p.comparison.options) out["options"].push_back(option_json(r, style, answer.zone));
  for (const decision::Act& act : p.acts.refused) out["refused"].push_back(refused_json(act, style));
  return out;
}

ordered_json beds_json(const std::vector<decision::BedRisk>& beds, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const decision::BedRisk& b : beds)
    out.push_back({{"bed", b.receiver->bed},
                   {"crop", b.receiver->crop},
                   {"crop_name", crop_name_json(b.receiver->crop, style)},
                   {"metres", tidy(b.receiver->metres)},
                   {"risk", decision::word_for(b.risk)},
                   {"among_most", tidy(b.among_most)},
                   {"over_more", b.receiver->threshold != nullptr ? ordered_json(tidy(b.over_more)) : ordered_json(nullptr)}});
  return out;
}

ordered_json plan_json(const decision::PlanRisk& p, const words::Style& style) {
  ordered_json ways = ordered_json::object();
  for (std::size_t way = 0; way < p.by_way.size(); ++way)
    ways[std::string(decision::word_for(static_cast<population::Movement>(way)))] = beds_json(p.by_way[way], style);
  return {{"first", p.plan->first != nullptr ? ordered_json(p.plan->first->means) : ordered_json(nullptr)},
          {"first_name", p.plan->first != nullptr ? ordered_json(name_of(*p.plan->first, style)) : ordered_json(nullptr)},
          {"on", p.plan->on.iso()},
          {"cleared", p.plan->cleared},
          {"against_plain", {{"mean", tidy(p.against_plain.mean)}, {"p05", tidy(p.against_plain.p05)}, {"p95", tidy(p.against_plain.p95)}}},
          {"beds", beds_json(p.together, style)},
          {"by_way", std::move(ways)}};
}

ordered_json pulled_json(const app::PestPulled& p, const words::Style& style) {
  ordered_json ways = ordered_json::object();
  for (std::size_t way = 0; way < p.answer.ways.size(); ++way)
    ways[std::string(decision::word_for(static_cast<population::Movement>(way)))] = tidy(p.answer.ways[way]);
  ordered_json out{{"pest", p.dossier->id},
                   {"name", words::say_key("pest." + p.dossier->id + ".name", style)},
                   {"ways", p.plans.empty() ? ordered_json(nullptr) : std::move(ways)},
                   {"plans", ordered_json::array()},
                   {"least", p.plans.empty() ? ordered_json(nullptr) : ordered_json(p.answer.least)},
                   {"knows", reasons(p.knows, style)},
                   {"cannot_know", reasons(p.cannot_know, style)}};
  for (const decision::PlanRisk& plan : p.answer.plans) out["plans"].push_back(plan_json(plan, style));
  return out;
}

}  // namespace

std::string compare_json(const app::CompareAnswer& answer, const words::Style& style) {
  ordered_json out = heading(answer, style);
  out["days"] = app::compare_days;
  out["pests"] = ordered_json::array();
  for (const app::PestCompared& p : answer.pests) out["pests"].push_back(pest_json(p, answer, style));
  return json_text(out);
}

std::string pull_json(const app::PullAnswer& answer, const words::Style& style) {
  ordered_json out = heading(answer, style);
  out["past_harvest"] = answer.past_harvest;
  out["pests"] = ordered_json::array();
  for (const app::PestPulled& p : answer.pests) out["pests"].push_back(pulled_json(p, style));
  return json_text(out);
}

}  // namespace leafturn::render
