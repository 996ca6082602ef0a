#include "io/event_json.hpp"

#include "io/saying_json.hpp"

namespace leafturn::io {
namespace {

using namespace garden;
// Fields keep the order they are written in, so that a person reading the bytes finds the heading first.
using Ordered = nlohmann::ordered_json;
using Json = nlohmann::json;

constexpr std::int64_t version = 1;
constexpr int most_depth = 5;
constexpr std::int64_t most_offset_s = 3'000'000'000;  // a phone whose battery died may think it is 1970

std::string dump(const Ordered& object) { return object.dump(-1, ' ', false, Ordered::error_handler_t::replace); }

void write(const Amended& a, Ordered& object) {
  object["kind"] = std::string(kind_word(Payload{a}));
  object["target"] = a.target.text();
  object["reason"] = a.reason;
  if (a.happened_at) object["right_time"] = a.happened_at->iso_utc();
  if (!a.replacement) return;
  Ordered replacement = Ordered::object();
  write_saying(*a.replacement, replacement);
  object["replacement"] = std::move(replacement);
}

Result<Amended> read_amended(Fields& fields) {
  Amended a;
  a.target = fields.id("target");
  a.reason = fields.text("reason");
  a.happened_at = fields.maybe_instant("right_time");
  if (const Json* object = fields.maybe_object("replacement")) {
    Fields inner(*object, "replacement.");
    a.replacement = read_saying(inner);
    if (const Status good = inner.finish(); !good) return fail(good.error());
  }
  return a;
}

Result<Payload> read_payload(Fields& fields) {
  const std::string kind = fields.text("kind");
  if (kind == kind_word(Payload{Amended{}})) {
    const auto amended = read_amended(fields);
    if (!amended) return fail(amended.error());
    return Payload{*amended};
  }
  const auto saying = read_saying_of(kind, fields);
  if (!saying) return Payload{};  // `fields` keeps why
  return std::visit([](const auto& s) { return Payload{s}; }, *saying);
}

}  // namespace

std::string encode_event(const Event& event) {
  Ordered object = Ordered::object();
  object["v"] = version;
  object["id"] = event.heading.id.text();
  object["writer"] = event.heading.writer;
  object["writer_seq"] = event.heading.writer_seq;
  object["happened_at"] = event.heading.happened_at.iso_utc();
  if (event.heading.clock_offset) object["clock_offset_s"] = event.heading.clock_offset->microseconds / 1'000'000;
  if (!event.heading.by.empty()) object["by"] = event.heading.by;
  if (const auto* amended = std::get_if<Amended>(&event.payload))
    write(*amended, object);
  else
    write_saying(*saying_of(event.payload), object);
  return dump(object);
}

Result<Event> decode_event(std::string_view bytes) {
  const auto object = parse_strict(bytes, most_event_bytes, most_depth);
  if (!object) return fail(object.error());
  Fields fields(*object, "");
  // First, because a later version may have other fields.
  if (fields.whole("v", 1, INT64_MAX) > version)
    return fail("event.newer_version", Where{{}, 0, "v"}, {{"version", (*object)["v"].get<std::int64_t>()}, {"known", version}});
  Event event;
  event.heading.id = fields.id("id");
  event.heading.writer = fields.text("writer");
  event.heading.writer_seq = static_cast<std::uint64_t>(fields.whole("writer_seq", 1, INT64_MAX));
  event.heading.happened_at = fields.instant("happened_at");
  if (const auto offset = fields.maybe_whole("clock_offset_s", -most_offset_s, most_offset_s))
    event.heading.clock_offset = Duration::seconds(*offset);
  event.heading.by = fields.text_or_empty("by");
  auto payload = read_payload(fields);
  if (!payload) return fail(payload.error());
  if (const Status good = fields.finish(); !good) return fail(good.error());
  event.payload = std::move(*payload);
  return event;
}

std::vector<std::pair<std::string, std::string>> fields_of(const Saying& saying) {
  Ordered object = Ordered::object();
  write_saying(saying, object);
  std::vector<std::pair<std::string, std::string>> fields;
  for (const auto& [name, value] : object.items()) fields.emplace_back(name, value.is_string() ? value.get<std::string>() : value.dump());
  return fields;
}

}  // namespace leafturn::io
