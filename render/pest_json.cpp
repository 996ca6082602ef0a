#include <nlohmann/json.hpp>

#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "render/pest.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

void add_source(ordered_json& into, const pest::Source& source) {
  into["source"] = source.citation;
  into["known"] = pest::word_for(source.known);
  into["note"] = source.note;
}

template <class T, class Read>
ordered_json figure(const pest::Sourced<T>& sourced, Read read) {
  ordered_json out{{"value", read(sourced.value)}};
  add_source(out, sourced.source);
  return out;
}

ordered_json stage_json(const pest::Stage& stage, const words::Style& style) {
  const auto celsius = [](Temperature t) { return t.celsius(); };
  const auto or_null = [&](const std::optional<pest::Sourced<Temperature>>& t) { return t ? figure(*t, celsius) : ordered_json(nullptr); };
  const auto* linear = stage.rate.linear();
  const auto stage_heat = [&](DegreeDays d) { return d.celsius_days() * stage.rate.share; };
  return {{"key", stage.key},
          {"name", stage_name(stage.key, style)},
          {"group", pest::word_for(stage.group)},
          {"form", pest::word_for(stage.rate.model)},
          {"lower_c", linear != nullptr ? figure(linear->lower, celsius) : ordered_json(nullptr)},
          {"degree_days_c", linear != nullptr ? figure(linear->constant, stage_heat) : ordered_json(nullptr)},
          {"upper_c", linear != nullptr ? or_null(linear->upper) : ordered_json(nullptr)},
          {"lethal_c", linear != nullptr ? or_null(linear->lethal) : ordered_json(nullptr)},
          {"spread", figure(stage.spread, [](double v) { return v; })},
          {"in_soil", stage.in_soil},
          {"place", stage.place}};
}

}  // namespace

std::string pest_json(const pest::Dossier& pest, const words::Style& style) {
  ordered_json out{{"id", pest.id},       {"eppo", pest.eppo},     {"name", pest_name(pest, style)}, {"scientific", pest.scientific},
                   {"order", pest.order}, {"family", pest.family}, {"overwinters", pest.overwinters}};
  ordered_json stages = ordered_json::array();
  for (const auto& stage : pest.stages) stages.push_back(stage_json(stage, style));
  ordered_json hosts = ordered_json::array();
  for (const auto& host : pest.hosts) {
    ordered_json one{{"crop", host.crop}, {"name", crop_name(host.crop, style)}, {"preference", host.preference}};
    add_source(one, host.source);
    hosts.push_back(std::move(one));
  }
  ordered_json thresholds = ordered_json::array();
  for (const auto& threshold : pest.thresholds) {
    ordered_json one{{"crops", threshold.crops},
                     {"stage", threshold.stage},
                     {"measure", threshold.measure == pest::Threshold::Measure::per_plant ? "per_plant" : "share_of_plants"},
                     {"value", threshold.value.value}};
    add_source(one, threshold.value.source);
    thresholds.push_back(std::move(one));
  }
  ordered_json efficacies = ordered_json::array();
  for (const auto& efficacy : pest.efficacies) {
    ordered_json one{{"means", efficacy.means},
                     {"active", efficacy.is_active},
                     {"stages", efficacy.stages},
                     {"low", efficacy.low},
                     {"high", efficacy.high}};
    add_source(one, efficacy.source);
    efficacies.push_back(std::move(one));
  }
  ordered_json figures = ordered_json::array();
  for (const auto& one : pest.figures) {
    ordered_json shown{{"what", one.what}, {"low", one.low}, {"high", one.high}, {"unit", one.unit}};
    add_source(shown, one.source);
    figures.push_back(std::move(shown));
  }
  out["stages"] = std::move(stages);
  out["hosts"] = std::move(hosts);
  out["thresholds"] = std::move(thresholds);
  out["efficacies"] = std::move(efficacies);
  out["figures"] = std::move(figures);
  out["gaps"] = pest.gaps;
  return json_text(out);
}

}  // namespace leafturn::render
