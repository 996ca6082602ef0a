/// The label cards: every version, a look at one being written, keeping one.
#include "app/cards.hpp"

#include <algorithm>

#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "server/body_json.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

Response said(const ordered_json& value, int status = 200) {
  Response response;
  response.status = status;
  response.body = value.dump();
  return response;
}

ordered_json date_json(const std::optional<Date>& day) { return day ? ordered_json(day->iso()) : ordered_json(nullptr); }

/// Members of a crop group in this library, with how each membership is known; those the directions leave out are marked.
ordered_json members_json(const std::string& group, const label::Use& use, const pest::Library& library, const words::Style& style) {
  ordered_json members = ordered_json::array();
  for (const auto& crop : library.crops) {
    const auto member = std::find_if(crop.label_groups.begin(), crop.label_groups.end(), [&](const auto& m) {
      return m.group.starts_with(group) && std::all_of(m.group.begin() + static_cast<std::ptrdiff_t>(group.size()), m.group.end(),
                                                       [](char c) { return c >= 'A' && c <= 'Z'; });
    });
    if (member == crop.label_groups.end()) continue;
    const bool left_out = std::find(use.except.begin(), use.except.end(), crop.eppo) != use.except.end();
    members.push_back({{"crop", crop.eppo},
                       {"name", render::crop_name(crop.eppo, style)},
                       {"known", words::say_key("label.known." + std::string(pest::word_for(member->source.known)), style)},
                       {"left_out", left_out}});
  }
  return members;
}

ordered_json uses_json(const label::Card& card, const pest::Library& library, const words::Style& style) {
  ordered_json uses = ordered_json::array();
  for (const auto& use : card.uses) {
    ordered_json crops = ordered_json::array();
    for (const std::string& crop : use.crops) {
      const bool group = crop.starts_with("group:");
      ordered_json one{{"crop", crop}, {"name", group ? crop.substr(6) : render::crop_name(crop, style)}};
      one["members"] = group ? members_json(crop.substr(6), use, library, style) : ordered_json::array();
      crops.push_back(std::move(one));
    }
    uses.push_back({{"line", use.line}, {"crops", std::move(crops)}});
  }
  return uses;
}

ordered_json version_json(const app::CardVersion& version, const Zone& zone) {
  const label::Card& card = version.card;
  return {{"product", card.product},
          {"digest", version.digest.hex()},
          {"copied", zone.iso(version.copied)},
          {"label_version", card.label_version},
          {"label_date", date_json(card.label_date)},
          {"copied_by", card.copied_by},
          {"copied_on", date_json(card.copied_on)},
          {"checked_by", card.checked_by},
          {"checked_on", date_json(card.checked_on)},
          {"whole", card.whole},
          {"in_use", version.in_use}};
}

ordered_json look_json(const app::CardLook& look, const pest::Library& library, const words::Style& style) {
  ordered_json errors = ordered_json::array();
  for (const Error& error : look.draft.errors)
    errors.push_back({{"field", error.where.field}, {"line", error.where.line}, {"text", words::say_error(error, style)}});
  return {{"digest", look.digest.hex()},
          {"errors", std::move(errors)},
          {"missing", look.missing},
          {"uses", uses_json(look.draft.card, library, style)},
          {"statements", ordered_json(render::statements_json(look.draft.card))}};
}

}  // namespace

Response get_cards(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto at = site.garden.asked_time(asked->at, asked->now);
  if (!at) return error_response(at.error(), request);
  const auto zone = site.garden.zone();
  if (!zone) return error_response(zone.error(), request);
  const auto versions = app::card_versions(site.garden, *at);
  if (!versions) return error_response(versions.error(), request);
  ordered_json cards = ordered_json::array();
  for (const auto& version : *versions) cards.push_back(version_json(version, *zone));
  return said({{"cards", std::move(cards)}});
}

Response get_card(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto digest = Digest::parse(request.part("card"));
  if (!digest) return error_response({"treat.no_such_card", {}, {{"product", request.part("card")}}, ErrorKind::not_found}, request);
  const auto text = app::card_text(site.garden, *digest);
  if (!text) return error_response(text.error(), request);
  ordered_json out = look_json(app::look_at_card(*text), site.garden.library(), asked->style);
  out["text"] = *text;
  out["fields"] = ordered_json::parse(app::card_fields_json(*text), nullptr, false);
  return said(out);
}

Response post_card_check(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto text = needed_text(*body, "text");
  if (!text) return error_response(text.error(), request);
  return said(look_json(app::look_at_card(*text), site.garden.library(), asked->style));
}

Response post_card(Site& site, const Request& request, const app::Who& who) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto text = needed_text(*body, "text");
  if (!text) return error_response(text.error(), request);
  const auto by = maybe_text(*body, "by");
  if (!by) return error_response(by.error(), request);
  const auto at = site.garden.asked_time(asked->at, asked->now);
  if (!at) return error_response(at.error(), request);
  const std::string signed_by = who.person ? who.person->id.text() : by->value_or("");
  const auto outcome = app::keep_card(site.garden, *text, "cards", signed_by, *at, asked->now);
  if (!outcome) return error_response(outcome.error(), request);
  return said({{"receipt", render::receipt_value(outcome->receipt)}}, 201);
}

}  // namespace leafturn::server
