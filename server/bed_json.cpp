/// One bed: what stands in it, the brief's part about it, and what was written down.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/treat_question.hpp"
#include "core/decision/clearance.hpp"
#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "server/error_json.hpp"
#include "server/history.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

ordered_json plantings_json(const garden::Garden& garden, const std::string& bed, const Zone& zone, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const auto& planting : garden.plantings) {
    if (planting.sown.bed != bed) continue;
    out.push_back({{"planting", planting.sown.planting},
                   {"crop", planting.sown.crop},
                   {"name", render::crop_name(planting.sown.crop, style)},
                   {"plants", planting.sown.plants ? ordered_json(*planting.sown.plants) : ordered_json(nullptr)},
                   {"set_out", render::day_json(planting.sown.set_out)},
                   {"first_harvest", render::day_json(planting.sown.first_harvest)},
                   {"last_harvest", render::day_json(planting.sown.last_harvest)},
                   {"removed", planting.removed ? ordered_json(zone.iso(*planting.removed)) : ordered_json(nullptr)}});
  }
  return out;
}

/// Sprays that are planned here and neither made nor called off.
ordered_json plans_json(const garden::Garden& garden, const std::string& bed, Instant now, const Zone& zone, const Names& names) {
  ordered_json out = ordered_json::array();
  for (const auto& one : garden.applications) {
    const auto& plan = one.what;
    if (plan.bed != bed || plan.state != garden::Application::State::planned || decision::plan_finished(garden, one.id)) continue;
    const auto* begun = garden.begun_of(one.id, now);
    out.push_back({{"id", one.id.text()},
                   {"product", plan.product},
                   {"rate", plan.rate},
                   {"pest", plan.pest},
                   {"at", zone.iso(one.at)},
                   {"by", one.by},
                   {"by_name", names.shown(one.by)},
                   {"told", ordered_json::parse(app::told_json(plan.told))},
                   {"begun_id", begun != nullptr ? ordered_json(begun->id.text()) : ordered_json(nullptr)},
                   {"begun_at", begun != nullptr ? ordered_json(zone.iso(begun->at)) : ordered_json(nullptr)}});
  }
  return out;
}

}  // namespace

// As far as anybody reads down on a phone; all of it is in the ledger's export.
constexpr std::size_t most_told = 150;

Response get_bed(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto made = site.briefs.get(site.garden, asked->at, asked->now, asked->seen);
  if (!made) return error_response(made.error(), request);
  const auto& answer = *made;
  const std::string& bed = request.part("bed");
  if (answer->garden.bed(bed) == nullptr) {
    return error_response({"server.no_such_bed", {}, {{"bed", bed}}, ErrorKind::not_found}, request);
  }
  const auto events = site.garden.told_of(bed, most_told);
  if (!events) return error_response(events.error(), request);

  const auto texts = site.brief_texts.of(answer, site.garden.library(), asked->style);
  ordered_json cards = ordered_json::array();
  for (const auto& [digest, card] : answer->cards) {
    if (std::find(cards.begin(), cards.end(), card.product) == cards.end()) cards.push_back(card.product);
  }
  const Names names(site.access, asked->style);
  const auto part = texts->beds.find(bed);
  Response response;
  response.body = "{\"bed\":" + ordered_json(bed).dump() + "," + texts->head;
  const auto add = [&](const char* key, const std::string& text) { response.body += std::string(",\"") + key + "\":" + text; };
  add("plantings", plantings_json(answer->garden, bed, answer->zone, asked->style).dump());
  add("brief", part == texts->beds.end() ? "null" : part->second);
  add("plans", plans_json(answer->garden, bed, answer->brief.at, answer->zone, names).dump());
  add("history", history_json(*events, answer->brief.at, answer->zone, site.garden.library(), names, asked->style));
  add("cards", cards.dump());
  response.body += "}";
  return response;
}

}  // namespace leafturn::server
