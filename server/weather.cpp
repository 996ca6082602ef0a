/// The weather everything rests on.
#include "app/weather_view.hpp"
#include "render/weather_view.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

Response get_weather(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = app::weather_view(site.garden, asked->at, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::weather_view_json(*answer, asked->style);
  return response;
}

}  // namespace leafturn::server
