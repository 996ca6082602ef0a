/// How many of each pest there are and will be.
#include "render/outlook.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

Response get_outlook(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto* given = request.asked("days");
  const auto days = app::parse_days_ahead(given != nullptr ? std::optional{*given} : std::nullopt, "days");
  if (!days) return error_response(days.error(), request);
  const auto answer = site.outlooks.get(site.garden, asked->at, *days, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::outlook_json(**answer, asked->style);
  return response;
}

}  // namespace leafturn::server
