/// People and their devices, for the lead.
#include <nlohmann/json.hpp>

#include "render/access_json.hpp"
#include "server/body_json.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

Result<Id> id_in(const std::string& text, const char* code, const char* fact) {
  if (const auto id = Id::parse(text)) return *id;
  return fail(code, {}, {{fact, text}}, ErrorKind::not_found);
}

Response said(const ordered_json& value, int status = 200) {
  Response response;
  response.status = status;
  response.body = value.dump();
  return response;
}

/// Where a phone finds this garden: the address the server was told; else the one this was asked at, which is this computer's own where the
/// asker is this computer.
std::string address_for(const std::string& told, const Request& request) {
  if (!told.empty()) return told;
  return (request.secure ? "https://" : "http://") + std::string(request.header("host"));
}

}  // namespace

Response get_people(Site& site, const Request& request) {
  const auto people = site.access.people();
  if (!people) return error_response(people.error(), request);
  ordered_json out = ordered_json::array();
  for (const auto& person : *people) out.push_back(render::person_value(person));
  return said({{"people", std::move(out)}});
}

Response post_people(Site& site, const Request& request) {
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto name = needed_text(*body, "name"), role = needed_text(*body, "role");
  if (!name) return error_response(name.error(), request);
  if (!role) return error_response(role.error(), request);
  const auto added = site.access.add(*name, *role, site.clock());
  return added ? said(render::person_value(*added), 201) : error_response(added.error(), request);
}

Response post_person(Site& site, const Request& request) {
  const auto id = id_in(request.part("person"), "access.no_such_person", "person");
  if (!id) return error_response(id.error(), request);
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto name = maybe_text(*body, "name"), role = maybe_text(*body, "role");
  if (!name) return error_response(name.error(), request);
  if (!role) return error_response(role.error(), request);
  const auto changed = site.access.change(*id, *name, *role);
  return changed ? said(render::person_value(*changed)) : error_response(changed.error(), request);
}

Response post_erase(Site& site, const Request& request) {
  const auto id = id_in(request.part("person"), "access.no_such_person", "person");
  if (!id) return error_response(id.error(), request);
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto confirm = needed_text(*body, "confirm");
  if (!confirm) return error_response(confirm.error(), request);
  const auto erased = site.access.erase(*id, *confirm, site.clock());
  return erased ? said({{"ok", true}}) : error_response(erased.error(), request);
}

Response post_pairing(Site& site, const Request& request) {
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto person = needed_text(*body, "person");
  if (!person) return error_response(person.error(), request);
  const auto device = maybe_text(*body, "device");
  if (!device) return error_response(device.error(), request);
  const auto id = id_in(*person, "access.no_such_person", "person");
  if (!id) return error_response(id.error(), request);
  const auto offered = site.access.offer(*id, device->value_or(""), site.clock());
  if (!offered) return error_response(offered.error(), request);
  const std::string told = site.address ? site.address() : std::string{};
  return said(render::code_value(*offered, address_for(told, request), !told.empty() || !request.loopback), 201);
}

Response get_sessions(Site& site, const Request& request) {
  const auto sessions = site.access.sessions(site.clock());
  if (!sessions) return error_response(sessions.error(), request);
  ordered_json out = ordered_json::array();
  for (const auto& session : *sessions) out.push_back(render::session_value(session));
  return said({{"sessions", std::move(out)}});
}

Response post_revoke(Site& site, const Request& request) {
  const auto id = id_in(request.part("session"), "access.no_such_session", "session");
  if (!id) return error_response(id.error(), request);
  const auto revoked = site.access.revoke(*id, site.clock());
  return revoked ? said({{"ok", true}}) : error_response(revoked.error(), request);
}

}  // namespace leafturn::server
