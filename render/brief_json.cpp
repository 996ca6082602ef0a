#include "render/brief.hpp"

#include "render/board.hpp"
#include "render/cautions.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {
namespace {

using nlohmann::json;

struct View {
  const app::BriefAnswer& answer;
  const pest::Library& library;
  const words::Style& style;

  std::string key(std::string_view k) const { return words::say_key(k, style); }
  json optional_key(const char* prefix, const std::optional<std::string>& name) const {
    return name ? json(key(prefix + *name)) : json(nullptr);
  }
};

json estimate_json(const decision::Estimate& e) { return {{"mean", e.mean}, {"p05", e.p05}, {"p95", e.p95}}; }

template <class T>
json or_null(const std::optional<T>& value) {
  return value ? json(*value) : json(nullptr);
}

json source_json(const pest::Source& source) {
  return {{"source", source.citation}, {"known", pest::word_for(source.known)}, {"note", source.note}};
}

json stages_json(const View& view, const decision::PestOutlook& p) {
  json out = json::array();
  for (const decision::StageStand& s : p.stages)
    out.push_back({{"stage", s.stage},
                   {"name", view.key("stage." + s.stage)},
                   {"present", s.present},
                   {"generation", s.generation},
                   {"from", day_json(s.from)},
                   {"mid", day_json(s.mid)},
                   {"to", day_json(s.to)}});
  return out;
}

json density_json(const decision::PestOutlook& p) {
  if (!p.density) return nullptr;
  json out = estimate_json(*p.density);
  out["stage"] = or_null(p.counted_stage);
  out["per"] = "plant";
  out["counted_on"] = day_json(p.counted_on);
  out["soon"] = nullptr;
  if (p.density_soon) {
    out["soon"] = estimate_json(*p.density_soon);
    out["soon"]["on"] = day_json(p.soon);
  }
  return out;
}

json threshold_json(const decision::PestOutlook& p) {
  if (p.threshold == nullptr) return nullptr;
  json out = source_json(p.threshold->value.source);
  out["value"] = p.threshold->value.value;
  out["measure"] = p.threshold->measure == pest::Threshold::Measure::per_plant ? "per_plant" : "share_of_plants";
  out["stage"] = p.threshold->stage;
  return out;
}

json pest_json(const View& view, const decision::PestOutlook& p) {
  return {{"pest", p.pest},
          {"name", view.key("pest." + p.pest + ".name")},
          {"basis", decision::word_for(p.basis)},
          {"stages", stages_json(view, p)},
          {"timing_unknown", p.timing_unknown ? reason_json(*p.timing_unknown, view.style) : json(nullptr)},
          {"density", density_json(p)},
          {"threshold", threshold_json(p)},
          {"p_over", or_null(p.p_over)},
          {"p_over_soon", or_null(p.p_over_soon)},
          {"why", reasons_json(p.why, view.style)}};
}

const char* kind_of(const decision::Option& o) {
  if (o.card) return "spray";
  if (o.means == "cover") return "cover";
  if (o.means == "pull") return "pull";
  return "hand";
}

json option_json(const View& view, const decision::Option& o) {
  json out{{"means", o.means},
           {"name", o.card ? o.means : view.key("means." + o.means)},
           {"kind", kind_of(o)},
           {"pest", o.pest},
           {"stages", o.stages},
           {"minutes", o.minutes > 0 ? json(o.minutes) : json(nullptr)},
           {"verdict", nullptr},
           {"reasons", json::array()},
           {"why", reasons_json(o.why, view.style)},
           {"efficacy", nullptr}};
  if (!o.stages.empty()) {
    out["efficacy"] = source_json(o.source);
    out["efficacy"]["low"] = o.low;
    out["efficacy"]["high"] = o.high;
  }
  if (o.judgement) out.update(judgement_json(*o.judgement, view.answer.zone, view.style));
  return out;
}

json refused_json(const View& view, const decision::Option& o) {
  json out =
      o.judgement ? judgement_json(*o.judgement, view.answer.zone, view.style) : json{{"verdict", "unknown"}, {"reasons", json::array()}};
  out["product"] = o.means;
  out["pest"] = o.pest;
  // No cited effect is a reason of ours, not of the card.
  for (const Reason& why : o.why)
    if (why.code == "option.no_cited_effect")
      out["reasons"].push_back({{"rule", "effect"},
                                {"state", "unknown"},
                                {"card_field", "active"},
                                {"card_line", nullptr},
                                {"text", words::say(why, view.style)}});
  return out;
}

json clear_json(const View& view, const decision::Clearance& c) {
  if (c.clear) return nullptr;
  return c.from ? json(view.answer.zone.iso(*c.from)) : json("unknown");
}

json bed_json(const View& view, const decision::BedBrief& b) {
  json out{{"bed", b.bed},
           {"planting", or_null(b.planting)},
           {"crop", or_null(b.crop)},
           {"crop_name", view.optional_key("crop.", b.crop)},
           {"urgency", decision::word_for(b.urgency)},
           {"headline", reason_json(b.headline, view.style)},
           {"pests", json::array()},
           {"do", reasons_json(b.act, view.style)},
           {"options", json::array()},
           {"refused", json::array()},
           {"harvest_clear", clear_json(view, b.harvest)},
           {"entry_clear", clear_json(view, b.entry)},
           {"harvest_text", words::say(b.harvest.why, view.style)},
           {"entry_text", words::say(b.entry.why, view.style)}};
  for (const auto& p : b.pests) out["pests"].push_back(pest_json(view, p));
  for (const auto& o : b.options) out["options"].push_back(option_json(view, o));
  for (const auto& o : b.refused) out["refused"].push_back(refused_json(view, o));
  return out;
}

json visit_json(const View& view, const decision::Visit& v) {
  const std::string look = "pest." + v.pest + ".look." + v.look;
  return {{"bed", v.bed},
          {"planting", or_null(v.planting)},
          {"crop", or_null(v.crop)},
          {"crop_name", view.optional_key("crop.", v.crop)},
          {"pest", v.pest},
          {"name", view.key("pest." + v.pest + ".name")},
          {"stage", v.stage},
          {"stage_name", view.key("stage." + v.stage)},
          {"plants", v.plants},
          {"minutes", v.minutes},
          {"place", view.key("place." + v.place)},
          {"look", words::has_key(look, view.style.language) ? json(view.key(look)) : json(nullptr)},
          {"text", words::say(v.why, view.style)}};
}

json board_json(const View& view) {
  json out = json::array();
  for (const BoardLine& line : board(view.answer)) {
    std::string text;
    for (const Reason& why : line.why) text += (text.empty() ? "" : " ") + words::say(why, view.style);
    out.push_back({{"bed", line.bed},
                   {"crop", or_null(line.crop)},
                   {"crop_name", view.optional_key("crop.", line.crop)},
                   {"pick", word_for(line.pick)},
                   {"enter", word_for(line.enter)},
                   {"until", line.until ? json(view.answer.zone.iso(*line.until)) : json(nullptr)},
                   {"text", text}});
  }
  return out;
}

json weather_json(const decision::Brief& b) {
  json gaps = json::array();
  for (const auto& gap : b.gaps) gaps.push_back({{"first", gap.first.iso()}, {"last", gap.last.iso()}});
  return {{"recorded_to", day_json(b.weather_last)},
          {"future", future_word(b.future)},
          {"forecast_to", day_json(b.forecast_last)},
          {"gaps", gaps}};
}

}  // namespace

std::string brief_json(const app::BriefAnswer& answer, const pest::Library& library, const words::Style& style) {
  const View view{answer, library, style};
  const decision::Brief& b = answer.brief;
  json out{{"at", answer.zone.iso(b.at)},
           {"upto", answer.garden.last_seq},
           {"day", b.day.iso()},
           {"garden", b.garden},
           {"marked", or_null(b.marked)},
           {"lang", words::code_for(style.language)},
           {"weather", weather_json(b)},
           {"beds", json::array()},
           {"walk", json::array()},
           {"leave", json::array()},
           {"deciding_count", b.deciding_count ? visit_json(view, *b.deciding_count) : json(nullptr)},
           {"board", board_json(view)},
           {"cautions", json::array()},
           {"notes", reasons_json(b.notes, style)},
           {"basis_text", basis_sentence(b, style)}};
  for (const auto& bed : b.beds) out["beds"].push_back(bed_json(view, bed));
  for (const auto& v : b.walk) out["walk"].push_back(visit_json(view, v));
  for (const auto& l : b.leave) out["leave"].push_back({{"bed", l.bed}, {"text", words::say(l.why, style)}});
  for (const auto& caution : cautions(answer, style)) out["cautions"].push_back(caution);
  return json_text(out);
}

}  // namespace leafturn::render
