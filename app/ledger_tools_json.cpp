#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "app/ledger_tools.hpp"
#include "app/open_garden.hpp"
#include "io/chronicle_bytes.hpp"
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

// A line is an event, with its place in the chain it comes from, or a text that events point to.
struct Line {
  std::optional<store::Entry> event;
  std::optional<std::string> blob;
};

std::optional<Digest> text_of(const garden::Event& event) {
  if (const auto* card = std::get_if<garden::CardCopied>(&event.payload)) return card->text;
  if (const auto* weather = std::get_if<garden::WeatherAdded>(&event.payload)) return weather->text;
  return std::nullopt;
}

void read_place(const json& parsed, store::Entry& entry) {
  const auto text = [&](const char* key) { return parsed.contains(key) && parsed[key].is_string() ? parsed[key].get<std::string>() : ""; };
  if (parsed.contains("seq") && parsed["seq"].is_number_unsigned()) entry.seq = parsed["seq"].get<std::uint64_t>();
  if (const auto received = Instant::parse(text("received"))) entry.received = *received;
  if (const auto link = Digest::parse(text("link"))) entry.link = *link;
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
  store::Entry entry{
      0, {}, {}, {event->heading.id, event->heading.writer, event->heading.writer_seq, event->heading.happened_at, std::move(bytes)}};
  read_place(parsed, entry);
  return Line{std::move(entry), {}};
}

/// What a file of lines holds.
struct Lines {
  std::vector<store::Entry> entries;
  std::vector<std::string> blobs;
  Lineage lineage;
};

Result<Lines> read_lines(std::string_view lines) {
  Lines out;
  for (int number = 1; !lines.empty(); ++number) {
    const std::size_t end = lines.find('\n');
    const std::string_view line = lines.substr(0, end);
    lines = end == std::string_view::npos ? std::string_view{} : lines.substr(end + 1);
    if (line.find_first_not_of(" \r\t") == std::string_view::npos) continue;
    auto read = line_of(line, number, out.lineage);
    if (!read) return fail(read.error());
    if (read->event) out.entries.push_back(std::move(*read->event));
    if (read->blob) out.blobs.push_back(std::move(*read->blob));
  }
  return out;
}

Result<store::Guest> find_guest(store::Ledger& ledger, const std::string& name) {
  const auto guests = ledger.guests();
  if (!guests) return fail(guests.error());
  std::string known;
  for (const store::Guest& one : *guests) {
    if (one.name == name || one.origin.hex() == name) return one;
    known += (known.empty() ? "" : ", ") + one.name;
  }
  return fail("ledger.no_such_guest", {{}, 0, "--guest"}, {{"given", name}, {"known", known}}, ErrorKind::not_found);
}

/// Takes the file's chain as this garden's own. False: it is another one, or not whole.
Result<bool> taken_as_own(store::Ledger& ledger, const std::vector<store::Entry>& entries, ImportedEvents& report) {
  const auto before = ledger.last_seq();
  if (!before) return fail(before.error());
  const Status adopted = ledger.adopt(entries);
  if (!adopted) {
    const std::string& code = adopted.error().code;
    // Put into an empty garden, a changed file must not pass for the ledger it comes from.
    const bool changed = code == "ledger.chain_broken" && *before == 0 && !entries.empty() && entries.front().seq == 1;
    if (code == "ledger.chains_differ" || code == "ledger.chain_gap" || (code == "ledger.chain_broken" && !changed)) return false;
    return fail(adopted.error());
  }
  const auto ours = ledger.read(1, static_cast<std::size_t>(*before));
  if (!ours) return fail(ours.error());
  for (std::size_t i = 0; i < std::min(ours->size(), entries.size()); ++i)
    if ((*ours)[i].envelope.bytes != entries[i].envelope.bytes) ++report.changed;
  report.same_chain = true;
  report.had = std::min<std::size_t>(*before, entries.size());
  report.appended = entries.size() - report.had;
  return true;
}

}  // namespace

namespace {

/// Whether what is kept of the sums is what the events add up to: pages and clearances are read from it.
Result<bool> sums_agree(store::Ledger& ledger) {
  const auto kept = ledger.snapshot_get(io::chronicle_kind);
  if (!kept) return fail(kept.error());
  if (!*kept) return true;
  garden::Chronicle chronicle;
  constexpr std::size_t at_once = 10'000;
  while (chronicle.last_seq() < (*kept)->seq) {
    const auto left = static_cast<std::size_t>((*kept)->seq - chronicle.last_seq());
    const auto entries = ledger.read(chronicle.last_seq() + 1, std::min(at_once, left));
    if (!entries) return fail(entries.error());
    for (const store::Entry& entry : *entries) {
      const auto recorded = decode_entry(entry);
      if (!recorded) return fail(recorded.error());
      if (auto added = add_to(chronicle, *recorded, ledger); !added) return fail(added.error());
    }
  }
  return io::chronicle_bytes(chronicle) == (*kept)->bytes;
}

}  // namespace

Result<store::Verification> verify_ledger(const std::string& folder, std::optional<Digest> head) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  store::Ledger& ledger = (*garden)->ledger();
  auto verification = ledger.verify(head);
  if (!verification || !verification->intact) return verification;
  const auto agree = sums_agree(ledger);
  if (!agree) return fail(agree.error());
  if (*agree) return verification;
  verification->intact = false;
  verification->damage = Reason{"ledger.snapshot_differs", {}};
  return verification;
}

Status export_ledger(const std::string& folder, const std::function<void(std::string_view line)>& line,
                     const std::optional<std::string>& guest) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  store::Ledger& ledger = (*garden)->ledger();
  std::optional<Digest> origin;
  if (guest) {
    const auto found = find_guest(ledger, *guest);
    if (!found) return fail(found.error());
    origin = found->origin;
  }
  constexpr std::size_t at_once = 1000;
  for (std::uint64_t next = 1;;) {
    auto entries = origin ? ledger.read_guest(*origin, next, at_once) : ledger.read(next, at_once);
    if (!entries) return fail(entries.error());
    for (const store::Entry& entry : *entries) {
      // The text before the event that points to it, so that a file cut short never holds an event without its text.
      if (const auto event = io::decode_event(entry.envelope.bytes); event && text_of(*event)) {
        auto text = ledger.blob_get(*text_of(*event));
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

Result<ImportedEvents> import_events(const std::string& folder, std::string_view text, Instant now, const std::optional<std::string>& as) {
  auto lines = read_lines(text);
  if (!lines) return fail(lines.error());
  auto garden = OpenGarden::create(folder);
  if (!garden) return fail(garden.error());
  store::Ledger& ledger = (*garden)->ledger();
  ImportedEvents report;
  if (lines->entries.empty()) return report;
  if (!as) {
    const auto other = strangers(lines->lineage, **garden);
    if (!other) return fail(other.error());
    if (*other) return fail("ledger.another_garden", {folder, 0, {}}, {}, ErrorKind::conflict);
  }
  // Texts first: an event never points to one that isn't there, and a text nothing points to does no harm.
  for (const std::string& blob : lines->blobs)
    if (auto put = ledger.blob_put(blob); !put) return fail(put.error());
  if (as) {
    if (auto kept = ledger.adopt_guest(*as, lines->entries, now); !kept) return fail(kept.error());
    report.appended = lines->entries.size();
    report.same_chain = true;
    return report;
  }
  const auto taken = taken_as_own(ledger, lines->entries, report);
  if (!taken) return fail(taken.error());
  if (*taken) return report;
  std::vector<store::Envelope> batch;
  for (store::Entry& entry : lines->entries) batch.push_back(std::move(entry.envelope));
  auto receipts = ledger.append(batch, now);
  if (!receipts) return fail(receipts.error());
  for (const store::Receipt& r : *receipts) {
    if (r.kind == store::Receipt::Kind::appended) ++report.appended;
    if (r.kind == store::Receipt::Kind::had_it) ++report.had;
    if (r.kind == store::Receipt::Kind::quarantined) ++report.quarantined;
  }
  return report;
}

Result<std::vector<store::Guest>> guests_of(const std::string& folder) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  return (*garden)->ledger().guests();
}

Result<store::Guest> guest_of(const std::string& folder, const std::string& name) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  return find_guest((*garden)->ledger(), name);
}

}  // namespace leafturn::app
