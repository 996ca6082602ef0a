#include "server/error_json.hpp"

#include <nlohmann/json.hpp>

namespace leafturn::server {

using nlohmann::ordered_json;

int status_for(const Error& error) {
  // A question that can't be read is 400; one that was understood, but can't be, is 422.
  if (error.kind == ErrorKind::bad_input && error.code.starts_with("server.")) return 400;
  switch (error.kind) {
    case ErrorKind::bad_input:
      return 422;
    case ErrorKind::forbidden:
      return 403;
    case ErrorKind::not_found:
      return 404;
    case ErrorKind::conflict:
      return 409;
    case ErrorKind::cannot:
      return 503;
  }
  return 503;
}

words::Language language_of(const Request& request) {
  if (const auto* asked = request.asked("lang")) return words::parse_language(*asked).value_or(words::Language::en);
  // Browsers list their languages best first; weights are not weighed.
  std::string_view rest = request.header("accept-language");
  while (!rest.empty()) {
    while (!rest.empty() && (rest.front() == ' ' || rest.front() == ',')) rest.remove_prefix(1);
    const auto end = rest.find(',');
    const auto tag = rest.substr(0, end).substr(0, 2);
    if (const auto language = words::parse_language(tag)) return *language;
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end);
  }
  return words::Language::en;
}

Response error_response(int status, const Error& error, const Request& request, const std::string& judgement_json) {
  const words::Style style{language_of(request)};
  ordered_json facts = ordered_json::object();
  for (const auto& fact : error.facts) facts[fact.name] = words::say_fact(fact.value, style);
  ordered_json where = ordered_json::object();
  if (!error.where.file.empty()) where["file"] = error.where.file;
  if (error.where.line > 0) where["line"] = error.where.line;
  if (!error.where.field.empty()) where["field"] = error.where.field;
  ordered_json answer;
  answer["error"] = {{"code", error.code},
                     {"text", words::say_error(error, style)},
                     {"what", words::say({"error." + error.code + ".what", error.facts}, style)},
                     {"where", where},
                     {"do", words::say({"error." + error.code + ".do", error.facts}, style)},
                     {"facts", facts}};
  if (!judgement_json.empty()) answer["judgement"] = ordered_json::parse(judgement_json);
  Response response;
  response.status = status;
  // A path or a header may hold any bytes; they are shown as replacement characters, never as broken JSON.
  response.body = answer.dump(-1, ' ', false, ordered_json::error_handler_t::replace);
  return response;
}

}  // namespace leafturn::server
