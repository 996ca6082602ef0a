#include "render/access_json.hpp"

#include "render/access.hpp"
#include "render/parts_json.hpp"
#include "render/qr.hpp"

namespace leafturn::render {

using nlohmann::ordered_json;

ordered_json person_value(const app::Person& person) {
  return {{"id", person.id.text()},
          {"name", person.name},
          {"role", app::word_for(person.role)},
          {"added", person.added.iso_utc()},
          {"erased", person.erased ? ordered_json(person.erased->iso_utc()) : ordered_json(nullptr)}};
}

ordered_json session_value(const app::SessionView& session) {
  return {
      {"id", session.id.text()},        {"person", session.person.text()}, {"device", session.device}, {"since", session.since.iso_utc()},
      {"seen", session.seen.iso_utc()}, {"ends", session.ends.iso_utc()},  {"live", session.live}};
}

ordered_json code_value(const app::OpenCode& code, const std::string& address, bool reachable) {
  const std::string link = pairing_link(address, code.code);
  const bool told = !address.empty();
  return {{"code", code.code},
          {"person", person_value(code.person)},
          {"device", code.device},
          {"address", told ? ordered_json(link) : ordered_json(nullptr)},
          {"page", told ? ordered_json(address + "/pair") : ordered_json(nullptr)},
          {"reachable", reachable},
          {"qr_svg", told ? ordered_json(qr_svg(link)) : ordered_json(nullptr)},
          {"until", code.until.iso_utc()}};
}

std::string people_json(const std::vector<app::Person>& people) {
  ordered_json out = ordered_json::array();
  for (const auto& person : people) out.push_back(person_value(person));
  return json_text(ordered_json{{"people", std::move(out)}});
}

std::string person_json(const app::Person& person) { return json_text(person_value(person)); }

std::string devices_json(const std::vector<app::SessionView>& sessions) {
  ordered_json out = ordered_json::array();
  for (const auto& session : sessions) out.push_back(session_value(session));
  return json_text(ordered_json{{"sessions", std::move(out)}});
}

std::string code_json(const app::OpenCode& code, const std::string& address) {
  return json_text(code_value(code, address, !address.empty()));
}

std::string done_json(const std::string& key, int n) { return json_text(ordered_json{{key, n}}); }

}  // namespace leafturn::render
