/// What there is: beds, plantings, pests, crops and cards, for the pages that write something down.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/materials.hpp"
#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

/// Words a scout can count by: the groups of the dossier's stages, with small and large larvae apart where there are four instars or more.
ordered_json countable(const pest::Dossier& dossier, const words::Style& style) {
  ordered_json out = ordered_json::array();
  const auto add = [&](const std::string& key) { out.push_back({{"key", key}, {"name", render::stage_name(key, style)}}); };
  std::vector<std::string> groups;
  long larvae =
      std::count_if(dossier.stages.begin(), dossier.stages.end(), [](const auto& stage) { return stage.group == pest::StageGroup::larva; });
  for (const auto& stage : dossier.stages) {
    const std::string group{pest::word_for(stage.group)};
    if (std::find(groups.begin(), groups.end(), group) != groups.end()) continue;
    groups.push_back(group);
    if (stage.group == pest::StageGroup::egg && dossier.laying.kind == pest::Laying::Kind::mass) {
      add("egg-mass");
    } else if (stage.group == pest::StageGroup::larva && larvae >= 4) {
      add("small-larva");
      add("large-larva");
    } else {
      add(group);
    }
  }
  return out;
}

ordered_json stages_of(const pest::Dossier& dossier, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const auto& stage : dossier.stages) {
    const std::string look = "pest." + dossier.id + ".look." + stage.key;
    out.push_back({{"key", stage.key},
                   {"name", render::stage_name(stage.key, style)},
                   {"group", pest::word_for(stage.group)},
                   {"look", words::has_key(look, style.language) ? ordered_json(words::say_key(look, style)) : ordered_json(nullptr)},
                   {"place", stage.place.empty() ? ordered_json(nullptr)
                                                 : ordered_json(render::phrase("place." + stage.place, stage.place, style))}});
  }
  return out;
}

ordered_json pests_json(const pest::Library& library, const words::Style& style) {
  ordered_json pests = ordered_json::array();
  for (const auto& dossier : library.pests) {
    ordered_json hosts = ordered_json::array();
    for (const auto& host : dossier.hosts) hosts.push_back(host.crop);
    pests.push_back({{"id", dossier.id},
                     {"name", render::pest_name(dossier, style)},
                     {"hosts", hosts},
                     {"stages", stages_of(dossier, style)},
                     {"countable", countable(dossier, style)}});
  }
  return pests;
}

ordered_json crops_json(const pest::Library& library, const words::Style& style) {
  ordered_json crops = ordered_json::array();
  for (const auto& crop : library.crops) {
    crops.push_back({{"eppo", crop.eppo}, {"name", render::crop_name(crop.eppo, style)}});
  }
  return crops;
}

ordered_json source_of(const pest::Source& source) {
  return {{"citation", source.citation}, {"known", pest::word_for(source.known)}, {"note", source.note}};
}

ordered_json cards_json(const std::map<Digest, label::Card>& cards, const garden::Garden& garden, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const auto& [digest, card] : cards) {
    // A card copied again replaces the earlier one; only the one in force is offered.
    const auto& copies = garden.cards;
    const auto last = std::find_if(copies.rbegin(), copies.rend(), [&](const auto& copy) { return copy.what.product == card.product; });
    if (last != copies.rend() && last->what.text != digest) continue;
    ordered_json uses = ordered_json::array();
    for (const auto& use : card.uses) {
      ordered_json crops = ordered_json::array();
      for (const auto& crop : use.crops) crops.push_back({{"crop", crop}, {"name", render::crop_name(crop, style)}});
      const auto rate = [](const label::Stated<label::ProductRate>& stated) {
        return stated.value() != nullptr ? ordered_json(stated.value()->as_given) : ordered_json(nullptr);
      };
      uses.push_back({{"crops", crops}, {"rate_min", rate(use.rate_min)}, {"rate_max", rate(use.rate_max)}, {"line", use.line}});
    }
    out.push_back({{"product", card.product},
                   {"digest", digest.hex()},
                   {"copied_by", card.copied_by},
                   {"copied_on", card.copied_on ? ordered_json(card.copied_on->iso()) : ordered_json(nullptr)},
                   {"uses", uses},
                   {"statements", ordered_json(render::statements_json(card))}});
  }
  return out;
}

}  // namespace

const std::string& LibraryTexts::of(const pest::Library& library, words::Language language) {
  const auto which = static_cast<std::size_t>(language);
  std::call_once(once_[which], [&] {
    const words::Style style{language, {}};
    const ordered_json known{{"pests", pests_json(library, style)}, {"crops", crops_json(library, style)}};
    const std::string text = known.dump();
    texts_[which] = text.substr(1, text.size() - 2);
  });
  return texts_[which];
}

Result<std::string> garden_json(Site& site, const Asked& asked) {
  const auto time = site.garden.asked_time(asked.at, asked.now);
  if (!time) return fail(time.error());
  const auto own_zone = site.garden.zone();
  if (!own_zone) return fail(own_zone.error());
  const auto state = site.garden.garden_at(*time);
  if (!state) return fail(state.error());
  const auto cards = app::cards_of(site.garden, *state);
  if (!cards) return fail(cards.error());
  const garden::Garden& garden = *state;
  const Zone& zone = *own_zone;
  const Instant at = *time;
  ordered_json beds = ordered_json::array();
  for (const auto& bed : garden.beds) {
    ordered_json plantings = ordered_json::array();
    for (const auto* planting : garden.standing(bed.bed, at, zone.civil(at).date)) {
      plantings.push_back({{"planting", planting->sown.planting},
                           {"crop", planting->sown.crop},
                           {"name", render::crop_name(planting->sown.crop, asked.style)},
                           {"plants", planting->sown.plants ? ordered_json(*planting->sown.plants) : ordered_json(nullptr)}});
    }
    beds.push_back({{"bed", bed.bed}, {"plantings", plantings}});
  }
  const auto& described = garden.described;
  const auto text_or_null = [](const std::optional<std::string>& text) { return text ? ordered_json(*text) : ordered_json(nullptr); };
  ordered_json out;
  out["name"] = described ? described->name : std::string{};
  out["marked"] = described ? text_or_null(described->marked) : ordered_json(nullptr);
  out["zone"] = zone.name();
  out["units"] = asked.style.units == garden::Units::us ? "us" : "metric";
  out["own_day"] = described && described->own_day ? ordered_json(zone.iso(zone.instant(*described->own_day))) : ordered_json(nullptr);
  out["now"] = zone.iso(asked.now);
  out["at"] = zone.iso(at);
  out["beds"] = std::move(beds);
  out["cards"] = cards_json(*cards, garden, asked.style);
  std::string text = out.dump();
  text.pop_back();
  return text + "," + site.library_texts.of(site.garden.library(), asked.style.language) + "}";
}

Response get_garden(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  auto garden = garden_json(site, *asked);
  if (!garden) return error_response(garden.error(), request);
  Response response;
  response.body = std::move(*garden);
  return response;
}

Response get_pest(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto* dossier = site.garden.library().pest(request.part("pest"));
  if (dossier == nullptr) {
    return error_response({"server.no_such_pest", {}, {{"pest", request.part("pest")}}, ErrorKind::not_found}, request);
  }
  ordered_json thresholds = ordered_json::array(), figures = ordered_json::array(), gaps = ordered_json::array();
  std::vector<std::string> cited;
  const auto cite = [&](const pest::Source& source) {
    if (std::find(cited.begin(), cited.end(), source.citation) == cited.end()) cited.push_back(source.citation);
    return source_of(source);
  };
  for (const auto& threshold : dossier->thresholds) {
    ordered_json crops = ordered_json::array();
    for (const auto& crop : threshold.crops) crops.push_back(render::crop_name(crop, asked->style));
    thresholds.push_back({{"crops", crops},
                          {"stage", render::stage_name(threshold.stage, asked->style)},
                          {"measure", threshold.measure == pest::Threshold::Measure::per_plant ? "per_plant" : "share_of_plants"},
                          {"value", threshold.value.value},
                          {"source", cite(threshold.value.source)}});
  }
  for (const auto& figure : dossier->figures) {
    figures.push_back(
        {{"what", figure.what}, {"low", figure.low}, {"high", figure.high}, {"unit", figure.unit}, {"source", cite(figure.source)}});
  }
  for (const auto& gap : dossier->gaps) gaps.push_back(gap);
  ordered_json out;
  out["id"] = dossier->id;
  out["name"] = render::pest_name(*dossier, asked->style);
  out["scientific"] = dossier->scientific;
  out["stages"] = stages_of(*dossier, asked->style);
  out["thresholds"] = std::move(thresholds);
  out["figures"] = std::move(figures);
  out["gaps"] = std::move(gaps);
  out["sources"] = cited;
  Response response;
  response.body = out.dump();
  return response;
}

}  // namespace leafturn::server
