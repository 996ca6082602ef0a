/// The brief, the shed board (the same brief from the shed door), words and health.
#include <nlohmann/json.hpp>

#include "embedded/openapi.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

Response part_of_brief(Site& site, const Request& request, std::string BriefTexts::* part) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = site.briefs.get(site.garden, asked->at, asked->now, asked->seen);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  const auto texts = site.brief_texts.of(*answer, site.garden.library(), asked->style);
  response.body = (*texts).*part;
  return response;
}

}  // namespace

Response get_brief(Site& site, const Request& request) { return part_of_brief(site, request, &BriefTexts::whole); }
Response get_board(Site& site, const Request& request) { return part_of_brief(site, request, &BriefTexts::board); }

Response get_words(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  ordered_json words = ordered_json::object();
  for (const auto& [key, text] : words::all(asked->style.language)) words[key] = text;
  Response response;
  response.body = words.dump();
  return response;
}

Response get_health(Site& site, const Request& request) {
  const auto last = site.garden.ledger().last_seq();
  if (!last) return error_response(last.error(), request);
  Response response;
  response.body = ordered_json({{"ok", true}, {"events", *last}}).dump();
  return response;
}

Response get_healthz(Site& site, const Request& request) {
  const auto last = site.garden.ledger().last_seq();
  if (!last) return error_response(last.error(), request);
  if (const auto fit = site.garden.ledger().writable(); !fit) return error_response(fit.error(), request);
  Response response;
  response.body = ordered_json({{"ok", true}}).dump();  // and nothing else: strangers may ask
  return response;
}

Response get_news(Site& /*site*/, const Request& /*request*/) {
  Response response;
  response.type = "text/event-stream";
  response.news = true;
  return response;
}

Response get_openapi(Site& /*site*/, const Request& /*request*/) {
  Response response;
  response.body = std::string{embedded::openapi().front().bytes};
  return response;
}

}  // namespace leafturn::server
