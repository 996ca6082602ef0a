/// One bed: what may be done about its pests, side by side, and what pulling it means for the other beds.
#include "app/pull.hpp"
#include "render/decide.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {
namespace {

app::BedQuestion question_of(const Request& request, const Asked& asked) {
  app::BedQuestion question;
  question.bed = request.part("bed");
  if (const auto* pest = request.asked("pest"); pest != nullptr) question.pest = *pest;
  question.at = asked.at;
  return question;
}

// The use case names the command line's flag; here the bed is part of the address.
Response not_answered(const Error& error, const Request& request) {
  if (error.code != "garden.no_such_bed") return error_response(error, request);
  return error_response({"server.no_such_bed", {}, {{"bed", request.part("bed")}}, ErrorKind::not_found}, request);
}

}  // namespace

Response get_compare(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = app::compare(site.garden, question_of(request, *asked), asked->now);
  if (!answer) return not_answered(answer.error(), request);
  Response response;
  response.body = render::compare_json(*answer, asked->style);
  return response;
}

Response get_pull(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = app::pull(site.garden, question_of(request, *asked), asked->now);
  if (!answer) return not_answered(answer.error(), request);
  Response response;
  response.body = render::pull_json(*answer, asked->style);
  return response;
}

}  // namespace leafturn::server
