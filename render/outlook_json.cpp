#include <cmath>

#include "app/outlook_order.hpp"
#include "core/base/elementary.hpp"
#include "render/outlook.hpp"
#include "render/outlook_says.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

constexpr int crps_samples = 100;

struct View {
  const app::OutlookAnswer& answer;
  const words::Style& style;

  std::string key(const std::string& k) const { return words::say_key(k, style); }
  std::string pest_name(const pest::Dossier& pest) const { return key("pest." + pest.id + ".name"); }
  ordered_json crop_name(const std::optional<std::string>& crop) const {
    return crop ? ordered_json(key("crop." + *crop)) : ordered_json(nullptr);
  }
};

template <class T>
ordered_json or_null(const std::optional<T>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

// Five digits: a page draws them, nobody knows more.
double short_of(double value) {
  if (!(value > 0.0)) return 0.0;
  const double unit = std::pow(10.0, std::floor(std::log10(value)) - 4.0);
  return unit >= 1.0 ? std::round(value / unit) * unit : std::round(value / unit) / std::round(1.0 / unit);
}

ordered_json spread_json(const decision::Spread& s) {
  return {{"mean", short_of(s.mean)}, {"p025", short_of(s.p025)}, {"p05", short_of(s.p05)}, {"p25", short_of(s.p25)},
          {"p50", short_of(s.p50)},   {"p75", short_of(s.p75)},   {"p95", short_of(s.p95)}, {"p975", short_of(s.p975)}};
}

ordered_json days_json(const app::PestInBed& p) {
  ordered_json out = ordered_json::array();
  for (const app::OutlookDay& day : p.days) {
    ordered_json stages = ordered_json::object();
    for (const app::GroupNumbers& g : day.groups) stages[std::string(pest::word_for(g.group))] = spread_json(g.per_plant);
    out.push_back({{"date", day.date.iso()},
                   {"stages", std::move(stages)},
                   {"counted", day.counted ? spread_json(*day.counted) : ordered_json(nullptr)},
                   {"p_over", or_null(day.p_over)}});
  }
  return out;
}

ordered_json threshold_json(const app::PestInBed& p) {
  if (p.threshold == nullptr) return nullptr;
  return {{"value", p.threshold->value.value},
          {"measure", p.threshold->measure == pest::Threshold::Measure::per_plant ? "per_plant" : "share_of_plants"},
          {"stage", p.threshold->stage},
          {"source", p.threshold->value.source.citation},
          {"known", pest::word_for(p.threshold->value.source.known)}};
}

ordered_json passing_json(const app::PestInBed& p) {
  const auto pass = app::passing(p);
  return pass ? ordered_json{{"date", pass->on.iso()}, {"chance", pass->chance}, {"likely", pass->likely}} : ordered_json(nullptr);
}

ordered_json taken_json(const View& view, const app::PestInBed& p) {
  ordered_json out = ordered_json::array();
  for (const app::Taken& t : p.taken)
    out.push_back({{"date", t.on.iso()},
                   {"stage", t.stage},
                   {"stage_name", view.key("stage." + t.stage)},
                   {"group", t.group ? ordered_json(pest::word_for(*t.group)) : ordered_json(nullptr)},
                   {"plants", t.plants},
                   {"count", t.count},
                   {"per_plant", tidy(t.per_plant)},
                   {"counted", t.counted ? ordered_json(tidy(*t.counted)) : ordered_json(nullptr)},
                   {"text", taken_text(t, view.style)}});
  return out;
}

ordered_json learned_json(const View& view, const app::PestInBed& p) {
  ordered_json out = ordered_json::array();
  for (std::size_t u = 0; u < population::unknown_count; ++u) {
    const auto unknown = static_cast<population::Unknown>(u);
    if (unknown == population::Unknown::movement) continue;  // it has no scale: its shares are told by themselves
    const population::Learned& l = p.learned[u];
    const std::string word(decision::word_for(unknown));
    out.push_back(
        {{"unknown", word}, {"name", view.key("unknown." + word)}, {"learned", l.learned}, {"p05", l.p05}, {"p50", l.p50}, {"p95", l.p95}});
  }
  return out;
}

ordered_json not_learned_json(const app::PestInBed& p) {
  ordered_json out = ordered_json::array();
  for (std::size_t u = 0; u < population::unknown_count; ++u)
    if (!p.learned[u].learned) out.push_back(decision::word_for(static_cast<population::Unknown>(u)));
  return out;
}

ordered_json movement_json(const app::PestInBed& p) {
  ordered_json out = ordered_json::object();
  for (std::size_t m = 0; m < p.movement.size(); ++m)
    out[std::string(decision::word_for(static_cast<population::Movement>(m)))] = p.movement[m];
  return out;
}

ordered_json pest_in_bed_json(const View& view, const app::OutlookBed& bed, const app::PestInBed& p) {
  const app::OutlookPest& pest = view.answer.pests[p.pest];
  const Line line = outlook_line(view.answer, bed, p, view.style);
  return {{"pest", pest.dossier->id},
          {"name", view.pest_name(*pest.dossier)},
          {"basis", decision::word_for(pest.basis())},
          {"crop", p.crop},
          {"counts", p.counts},
          {"counted_stage", p.target.word},
          {"counted_stage_name", view.key("stage." + p.target.word)},
          {"threshold", threshold_json(p)},
          {"passing", passing_json(p)},
          {"says", {{"code", line.code}, {"text", line.text}}},
          {"taken", taken_json(view, p)},
          {"days", days_json(p)},
          {"learned", learned_json(view, p)},
          {"not_learned", not_learned_json(p)},
          {"movement", movement_json(p)}};
}

ordered_json bed_json(const View& view, const app::OutlookBed& bed) {
  ordered_json out{{"bed", bed.bed},
                   {"planting", or_null(bed.planting)},
                   {"crop", or_null(bed.crop)},
                   {"crop_name", view.crop_name(bed.crop)},
                   {"pests", ordered_json::array()}};
  for (const app::PestInBed& p : bed.pests) out["pests"].push_back(pest_in_bed_json(view, bed, p));
  return out;
}

ordered_json gate_json(const View& view, const decision::Gate& gate) {
  return {{"passed", gate.passed},
          {"code", gate.why.code},
          {"text", words::say(gate.why, view.style)},
          {"counts", gate.counts},
          {"counts_needed", decision::least_counts},
          {"walks", gate.walks},
          {"walks_needed", decision::least_walks},
          {"crps_population", gate.population},
          {"crps_carried", gate.carried},
          {"gain", gate.gain},
          {"standard_error", gate.standard_error}};
}

ordered_json pest_json(const View& view, const app::OutlookPest& p) {
  return {{"pest", p.dossier->id},
          {"name", view.pest_name(*p.dossier)},
          {"basis", decision::word_for(p.basis())},
          {"counts", p.counts},
          {"gate", gate_json(view, p.gate)},
          {"assumed", reasons_json(p.assumed, view.style)},
          {"left_out", reasons_json(p.left_out, view.style)}};
}

ordered_json not_counted_json(const View& view, const app::NotCounted& p) {
  return {
      {"pest", p.dossier->id}, {"name", view.pest_name(*p.dossier)}, {"beds", p.beds}, {"left_out", reasons_json(p.left_out, view.style)}};
}

ordered_json ask_json(const View& view, const app::Answered& a) {
  const population::CountMixture& e = a.expected;
  ordered_json samples = ordered_json::array();
  for (int i = 0; i < crps_samples; ++i) samples.push_back(e.quantile((i + 0.5) / crps_samples));
  ordered_json quantiles = ordered_json::object();
  for (const char* level : {"0.025", "0.05", "0.25", "0.5", "0.75", "0.95", "0.975"}) quantiles[level] = e.quantile(std::stod(level));
  const app::OutlookPest& pest = view.answer.pests[a.pest];
  return {{"time", view.answer.zone.iso(a.ask.time)},
          {"bed", a.ask.bed},
          {"pest", a.ask.pest},
          {"stage", a.ask.stage},
          {"plants", a.ask.plants},
          {"id", pest.dossier->id},
          {"name", view.pest_name(*pest.dossier)},
          {"basis", decision::word_for(pest.basis())},
          {"counts", a.counts},
          {"garden_counts", pest.counts},
          {"mean", e.mean()},
          {"sd", num::sqrt(e.variance())},
          {"p_zero", e.p_zero()},
          {"quantiles", std::move(quantiles)},
          {"crps_samples", std::move(samples)}};
}

ordered_json weather_json(const app::OutlookAnswer& answer) {
  return {{"recorded_to", day_json(answer.weather.last)},
          {"future", future_word(answer.future)},
          {"forecast_to", day_json(answer.forecast_last)},
          {"gaps", gaps_json(answer.weather.gaps)}};
}

}  // namespace

std::string outlook_json(const app::OutlookAnswer& answer, const words::Style& style) {
  const View view{answer, style};
  const auto& described = answer.garden.described;
  ordered_json out{{"at", answer.zone.iso(answer.at)},
                   {"day", answer.day.iso()},
                   {"days", answer.days},
                   {"garden", described ? described->name : std::string{}},
                   {"marked", described ? or_null(described->marked) : ordered_json(nullptr)},
                   {"lang", words::code_for(style.language)},
                   {"weather", weather_json(answer)},
                   {"no_numbers", answer.no_numbers ? ordered_json(reason_json(*answer.no_numbers, style)) : ordered_json(nullptr)},
                   {"beds", ordered_json::array()},
                   {"worst", ordered_json::array()},
                   {"pests", ordered_json::array()},
                   {"not_counted", ordered_json::array()},
                   {"notes", reasons_json(answer.weather.notes, style)}};
  for (const app::OutlookBed& bed : answer.beds) out["beds"].push_back(bed_json(view, bed));
  for (const app::Placed& one : app::worst_first(answer))
    out["worst"].push_back({{"bed", one.bed->bed}, {"pest", answer.pests[one.pest->pest].dossier->id}});
  for (const app::OutlookPest& pest : answer.pests) out["pests"].push_back(pest_json(view, pest));
  for (const app::NotCounted& pest : answer.not_counted) out["not_counted"].push_back(not_counted_json(view, pest));
  if (answer.asked) {
    out["asks"] = ordered_json::array();
    for (const app::Answered& ask : answer.asks) out["asks"].push_back(ask_json(view, ask));
  }
  return json_text(out);
}

}  // namespace leafturn::render
