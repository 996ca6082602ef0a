#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "app/ledger_tools.hpp"
#include "app/open_garden.hpp"
#include "io/event_json.hpp"

namespace leafturn::app {
namespace {

using nlohmann::json;

bool describes(const garden::Event& event) { return std::holds_alternative<garden::GardenDescribed>(event.payload); }

/// An export holds its garden's description from the start; two gardens that share no event at all are two gardens.
struct Lineage {
  std::set<Id> ids;
  bool described = false;
};
Result<bool> strangers(const Lineage& ours, OpenGarden& theirs) {
  const auto chronicle = theirs.chronicle();
  if (!chronicle) return fail(chronicle.error());
  if (!ours.described || !chronicle->beginning()) return false;
  for (const Id& id : ours.ids) {
    const auto there = theirs.ledger().find(id);
    if (!there) return fail(there.error());
    if (*there) return false;
  }
  return true;
}

// A line is an event or a text that events point to.
struct Line {
  std::optional<store::Envelope> event;
  std::optional<std::string> blob;
};

std::optional<Digest> text_of(const garden::Event& event) {
  if (const auto* card = std::get_if<garden::CardCopied>(&event.payload)) return card->text;
  if (const auto* weather = std::get_if<garden::WeatherAdded>(&event.payload)) return weather->text;
  return std::nullopt;
}

Result<Line> line_of(std::string_view line, int number, Lineage& lineage) {
  const json parsed = json::parse(line, nullptr, false);
  const Where where{"", number, "event"};
  if (parsed.is_object() && parsed.contains("blob") && parsed["blob"].is_string() && parsed.contains("text") &&
      parsed["text"].is_string()) {
    Line out;
    out.blob = parsed["text"].get<std::string>();
    if (store::sha256(*out.blob).hex() != parsed["blob"].get<std::string>()) return fail("ledger.text_changed", {"", number, "blob"});
    return out;
  }
  if (!parsed.is_object() || !parsed.contains("event") || !parsed["event"].is_string()) return fail("ledger.line_unreadable", where);
  std::string bytes = parsed["event"].get<std::string>();
  auto event = io::decode_event(bytes);
  if (!event) {
    event.error().where.line = number;
    return fail(event.error());
  }
  lineage.ids.insert(event->heading.id);
  lineage.described = lineage.described || describes(*event);
  return Line{
      store::Envelope{event->heading.id, event->heading.writer, event->heading.writer_seq, event->heading.happened_at, std::move(bytes)},
      {}};
}

}  // namespace

Result<store::Verification> verify_ledger(const std::string& folder, std::optional<Digest> head) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  return (*garden)->ledger().verify(head);
}

Status export_ledger(const std::string& folder, const std::function<void(std::string_view line)>& line) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  constexpr std::size_t at_once = 1000;
  for (std::uint64_t next = 1;;) {
    auto entries = (*garden)->ledger().read(next, at_once);
    if (!entries) return fail(entries.error());
    for (const store::Entry& entry : *entries) {
      // The text before the event that points to it, so that a file cut short never holds an event without its text.
      if (const auto event = io::decode_event(entry.envelope.bytes); event && text_of(*event)) {
        auto text = (*garden)->ledger().blob_get(*text_of(*event));
        if (!text) return fail(text.error());
        line(json{{"blob", text_of(*event)->hex()}, {"text", *text}}.dump());
      }
      // The event's bytes as a JSON string: what is hashed comes back byte for byte.
      const json row{
          {"seq", entry.seq}, {"received", entry.received.iso_utc()}, {"link", entry.link.hex()}, {"event", entry.envelope.bytes}};
      line(row.dump());
    }
    if (entries->size() < at_once) return {};
    next = entries->back().seq + 1;
  }
}

Status backup_ledger(const std::string& folder, const std::string& to_path) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  return (*garden)->ledger().backup(to_path);
}

Result<ImportedEvents> import_events(const std::string& folder, std::string_view lines, Instant now) {
  std::vector<store::Envelope> batch;
  Lineage lineage;
  std::vector<std::string> blobs;
  int number = 0;
  while (!lines.empty()) {
    const std::size_t end = lines.find('\n');
    const std::string_view line = lines.substr(0, end);
    lines = end == std::string_view::npos ? std::string_view{} : lines.substr(end + 1);
    ++number;
    if (line.find_first_not_of(" \r\t") == std::string_view::npos) continue;
    auto read = line_of(line, number, lineage);
    if (!read) return fail(read.error());
    if (read->event) batch.push_back(std::move(*read->event));
    if (read->blob) blobs.push_back(std::move(*read->blob));
  }
  auto garden = OpenGarden::create(folder);
  if (!garden) return fail(garden.error());
  ImportedEvents report;
  if (batch.empty()) return report;
  const auto other = strangers(lineage, **garden);
  if (!other) return fail(other.error());
  if (*other) return fail("ledger.another_garden", {folder, 0, {}}, {}, ErrorKind::conflict);
  for (const std::string& blob : blobs)
    if (auto put = (*garden)->ledger().blob_put(blob); !put) return fail(put.error());
  auto receipts = (*garden)->ledger().append(batch, now);
  if (!receipts) return fail(receipts.error());
  for (const store::Receipt& r : *receipts) {
    if (r.kind == store::Receipt::Kind::appended) ++report.appended;
    if (r.kind == store::Receipt::Kind::had_it) ++report.had;
    if (r.kind == store::Receipt::Kind::quarantined) ++report.quarantined;
  }
  return report;
}

}  // namespace leafturn::app
