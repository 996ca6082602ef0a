/// Reading the ledger and writing to it.
#include <charconv>
#include <nlohmann/json.hpp>

#include "app/record_as.hpp"
#include "render/parts_json.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

constexpr std::size_t most_events = 500;

Response bad_json(const Request& request) { return error_response(400, {"server.not_json", {}, {}, ErrorKind::bad_input}, request); }

/// A text field of a JSON object; empty when it isn't there.
std::string text_of(const ordered_json& object, const char* key) {
  const auto found = object.find(key);
  return found != object.end() && found->is_string() ? found->get<std::string>() : std::string{};
}

/// The verdict behind a refused application, to be shown beside the error. Empty when it can't be had.
std::string refused_judgement(Site& site, const ordered_json& event, const Asked& asked, const Zone& zone) {
  const auto on = Instant::parse(text_of(event, "happened_at"));
  if (!on) return {};
  const auto answer = app::may_treat(site.garden, {text_of(event, "bed"), text_of(event, "product"), text_of(event, "rate"), *on});
  if (!answer || answer->plantings.empty()) return {};
  return render::judgement_json(answer->plantings.front().judgement, zone, asked.style).dump();
}

}  // namespace

Response get_events(Site& site, const Request& request) {
  std::uint64_t from = 1;
  if (const auto* given = request.asked("from")) {
    const auto [end, wrong] = std::from_chars(given->data(), given->data() + given->size(), from);
    if (wrong != std::errc{} || end != given->data() + given->size()) {
      return error_response(400, {"server.from_unreadable", {"", 0, "from"}, {{"given", *given}}, ErrorKind::bad_input}, request);
    }
  }
  const auto entries = site.garden.ledger().read(from, most_events);
  if (!entries) return error_response(entries.error(), request);
  const auto last = site.garden.ledger().last_seq();
  if (!last) return error_response(last.error(), request);
  // The event's own bytes are put into the answer, not a re-serialisation of them.
  std::string body = "{\"events\":[";
  for (const auto& entry : *entries) {
    if (&entry != &entries->front()) body += ',';
    body += "{\"seq\":" + std::to_string(entry.seq) + ",\"received\":\"" + entry.received.iso_utc() + "\",\"link\":\"" + entry.link.hex() +
            "\",\"event\":" + entry.envelope.bytes + "}";
  }
  body += "],\"last_seq\":" + std::to_string(*last) + "}";
  Response response;
  response.body = std::move(body);
  return response;
}

Response post_event(Site& site, const Request& request, const app::Who& who) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto event = ordered_json::parse(request.body, nullptr, false);
  if (event.is_discarded()) return bad_json(request);
  const auto zone = site.garden.zone();
  if (!zone) return error_response(zone.error(), request);
  const auto outcome = app::record_as(site.garden, who, request.body, asked->now);
  if (!outcome) {
    const auto& code = outcome.error().code;
    const bool by_card = event.is_object() && (code == "treat.refused" || code == "treat.unknown");
    return error_response(status_for(outcome.error()), outcome.error(), request,
                          by_card ? refused_judgement(site, event, *asked, *zone) : std::string{});
  }
  ordered_json answer;
  answer["receipt"] = render::receipt_value(outcome->receipt);
  if (outcome->judgement) answer["judgement"] = render::judgement_json(*outcome->judgement, *zone, asked->style);
  if (outcome->judged) {
    const bool within = outcome->judged->verdict == garden::ApplicationJudged::Verdict::within_label;
    answer["judged"] = {{"verdict", within ? "within_label" : "outside_label"}, {"rule", outcome->judged->rule}};
  }
  Response response;
  response.status = 201;
  response.body = answer.dump();
  return response;
}

}  // namespace leafturn::server
