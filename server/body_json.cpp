#include "server/body_json.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

Result<ordered_json> read_object(const Request& request) {
  auto body = ordered_json::parse(request.body, nullptr, false);
  if (body.is_discarded() || !body.is_object()) return fail("server.not_json");
  return body;
}

Result<std::optional<std::string>> maybe_text(const ordered_json& object, const char* field) {
  const auto found = object.find(field);
  if (found == object.end() || found->is_null()) return std::nullopt;
  if (!found->is_string()) return fail("server.field_needed", {"", 0, field}, {{"field", std::string(field)}});
  return found->get<std::string>();
}

Result<std::string> needed_text(const ordered_json& object, const char* field) {
  auto text = maybe_text(object, field);
  if (!text) return fail(text.error());
  if (!*text) return fail("server.field_needed", {"", 0, field}, {{"field", std::string(field)}});
  return **text;
}

}  // namespace leafturn::server
