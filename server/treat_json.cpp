/// May this be sprayed? A card is asked, with what only who stands at the bed can say.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/treat_question.hpp"
#include "render/cautions.hpp"
#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

Response post_may_treat(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  auto read = app::read_treat_question(request.body);
  if (!read) return error_response(read.error(), request);
  app::TreatQuestion& question = read->question;
  const auto end = read_time(site, read->on, "on", "server.at_unreadable");
  if (!end) return error_response(end.error(), request);
  question.on = *end;
  const auto zone = site.garden.zone();
  if (!zone) return error_response(zone.error(), request);
  const auto now = site.garden.asked_time(asked->at, asked->now);
  if (!now) return error_response(now.error(), request);
  // Of a spray already over nobody looks afterwards.
  question.told_at = std::min(*now, question.on);
  const auto answer = app::may_treat(site.garden, question);
  if (!answer) return error_response(answer.error(), request);
  ordered_json plantings = ordered_json::array();
  for (const auto& one : answer->plantings) {
    ordered_json row = {{"planting", one.planting}, {"crop", one.crop}, {"name", render::crop_name(one.crop, asked->style)}};
    row.update(ordered_json(render::judgement_json(one.judgement, *zone, asked->style)));
    plantings.push_back(std::move(row));
  }
  Response response;
  response.body = ordered_json({{"plantings", plantings},
                                {"card", answer->card_digest.hex()},
                                {"statements", ordered_json(render::statements_json(answer->card))},
                                {"cautions", render::product_cautions(asked->style)}})
                      .dump();
  return response;
}

}  // namespace leafturn::server
