/// When a product may be sprayed on a bed, and the last look before beginning.
#include "app/spray_hours.hpp"
#include "app/spray_start.hpp"
#include "render/spray_hours.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {
namespace {

std::optional<std::string> maybe(const Request& request, const char* name) {
  const auto* given = request.asked(name);
  return given != nullptr ? std::optional{*given} : std::nullopt;
}

}  // namespace

Response get_spray_hours(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  app::SprayHoursQuestion question;
  question.bed = maybe(request, "bed").value_or("");
  question.product = maybe(request, "product").value_or("");
  question.hours = maybe(request, "hours");
  question.around.in_flower = maybe(request, "in_flower");
  question.around.drought = maybe(request, "drought");
  question.around.minutes = maybe(request, "minutes");
  question.at = asked->at;
  const auto answer = app::garden_spray_hours(site.garden, question, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::spray_hours_json(*answer, asked->style);
  return response;
}

Response get_spray_start(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  app::StartTyped typed;
  typed.bed = maybe(request, "bed").value_or("");
  typed.product = maybe(request, "product").value_or("");
  typed.wind = maybe(request, "wind");
  typed.temperature = maybe(request, "temperature");
  typed.humidity = maybe(request, "humidity");
  typed.people_clear = maybe(request, "people_clear");
  typed.in_flower = maybe(request, "in_flower");
  typed.dry = maybe(request, "dry");
  typed.dry_ahead = maybe(request, "dry_ahead");
  typed.drought = maybe(request, "drought");
  typed.overcast = maybe(request, "overcast");
  typed.plan = maybe(request, "plan");
  typed.nozzle_height = maybe(request, "nozzle_height");
  typed.at = asked->at;
  const auto answer = app::spray_start(site.garden, typed, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::spray_start_json(*answer, asked->style);
  return response;
}

}  // namespace leafturn::server
