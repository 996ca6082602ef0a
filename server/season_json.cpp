/// The bugs' calendar: every pest of the garden, one pest whole, and what was found gone on with.
#include "app/hatch.hpp"
#include "render/season.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

Response get_seasons(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = site.calendars.get(site.garden, {}, asked->at, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::garden_calendar_json(**answer, asked->style);
  return response;
}

Response get_season(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = site.calendars.get(site.garden, request.part("pest"), asked->at, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::pest_calendar_json(**answer, asked->style);
  return response;
}

Response get_hatch(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto maybe = [&](const char* name) {
    const auto* given = request.asked(name);
    return given != nullptr ? std::optional{*given} : std::nullopt;
  };
  const auto answer = app::garden_hatch(
      site.garden, {request.part("pest"), maybe("found").value_or(std::string{}), maybe("stage"), maybe("age")}, asked->at, asked->now);
  if (!answer) return error_response(answer.error(), request);
  Response response;
  response.body = render::hatch_json(*answer, asked->style);
  return response;
}

}  // namespace leafturn::server
