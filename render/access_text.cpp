#include "render/access.hpp"
#include "render/qr.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string line(const char* key, std::vector<Fact> facts, const words::Style& style) {
  return wrapped(words::say({key, std::move(facts)}, style), page_width, 0) + "\n";
}

std::string role_name(app::Role role, const words::Style& style) {
  return words::say_key("access.role." + std::string(app::word_for(role)), style);
}

/// `2026-06-01 08:00`.
std::string minute(Instant at, const Zone& zone) {
  std::string iso = zone.iso(at).substr(0, 16);
  iso[10] = ' ';
  return iso;
}

Table table_of(std::initializer_list<const char*> columns, const words::Style& style) {
  Table table;
  for (const char* column : columns) table.column(words::say_key(std::string("access.table.") + column, style));
  return table;
}

}  // namespace

std::string grouped_code(const std::string& code) { return code.size() == 8 ? code.substr(0, 4) + "-" + code.substr(4) : code; }

std::string pairing_link(const std::string& address, const std::string& code) { return address + "/pair#" + code; }

std::string people_text(const std::vector<app::Person>& people, const Zone& zone, const words::Style& style) {
  if (people.empty()) return line("access.text.nobody", {}, style);
  Table table = table_of({"name", "role", "added", "reference"}, style);
  for (const auto& person : people)
    table.row({person.erased ? words::say_key("access.erased", style) : person.name, role_name(person.role, style),
               minute(person.added, zone), person.id.text()});
  return table.text();
}

std::string person_text(const app::Person& person, const std::string& key, const words::Style& style) {
  return line(key.c_str(), {{"name", person.name}, {"role", role_name(person.role, style)}, {"id", person.id.text()}}, style);
}

std::string devices_text(const std::vector<app::SessionView>& sessions, const std::vector<app::Person>& people, const Zone& zone,
                         const words::Style& style) {
  if (sessions.empty()) return line("access.text.no_devices", {}, style);
  Table table = table_of({"name", "device", "state", "since", "seen", "ends"}, style);
  for (const auto& session : sessions) {
    std::string name;
    for (const auto& person : people)
      if (person.id == session.person) name = person.erased ? words::say_key("access.erased", style) : person.name;
    table.row({name, session.device, words::say_key(session.live ? "access.text.live" : "access.text.ended", style),
               minute(session.since, zone), minute(session.seen, zone), minute(session.ends, zone)});
  }
  return table.text();
}

std::string code_text(const app::OpenCode& code, const std::string& address, const Zone& zone, const words::Style& style) {
  std::string out = line("access.text.code", {{"name", code.person.name}, {"code", grouped_code(code.code)}}, style) +
                    line("access.text.code_until", {{"until", minute(code.until, zone)}}, style);
  if (address.empty()) return out + line("access.text.code_typed", {}, style);
  out += line("access.text.code_where", {{"address", address + "/pair"}}, style);
  return out + "\n" + qr_text(pairing_link(address, code.code));
}

std::string signed_out_text(int devices, const words::Style& style) {
  return line("access.text.signed_out", {{"n", std::int64_t{devices}}}, style);
}

std::string erased_text(const app::Person& person, const words::Style& style) {
  return line("access.text.erased", {{"id", person.id.text()}}, style);
}

}  // namespace leafturn::render
