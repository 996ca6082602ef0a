#include "app/open_garden.hpp"

#include <algorithm>
#include <filesystem>
#include <limits>
#include <mutex>
#include <thread>
#include <utility>

#include "io/chronicle_bytes.hpp"
#include "io/dossier_toml.hpp"
#include "io/event_json.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
constexpr const char* ledger_name = "ledger.db";
// What is quicker read event by event than a snapshot is written; of long ledgers, a share.
constexpr std::uint64_t least_tail = 5000;
constexpr std::uint64_t tail_share = 50;

}  // namespace

struct OpenGarden::Inside {
  std::string folder;
  std::unique_ptr<store::Ledger> ledger;
  pest::Library library;
  store::Together<Writing> desk;
  std::mutex mutex;  // guards what follows
  garden::Chronicle chronicle;
  std::optional<Zone> zone;
  std::uint64_t snapshot_seq = 0;
  std::thread snapshot_writer;
  bool writing_snapshot = false;
  bool begun = false;  ///< what there is of a snapshot was taken

  ~Inside() {
    if (snapshot_writer.joinable()) snapshot_writer.join();
  }
  Status catch_up();
  void begin();
  Status read_tail();
  void keep_snapshot();
};

Result<garden::Recorded> decode_entry(const store::Entry& entry) {
  auto event = io::decode_event(entry.envelope.bytes);
  if (!event) {
    event.error().where.file = "seq " + std::to_string(entry.seq);
    return fail(event.error());
  }
  return garden::Recorded{entry.seq, entry.received, std::move(*event)};
}

Status add_to(garden::Chronicle& chronicle, const garden::Recorded& recorded, store::Ledger& ledger) {
  const auto* amended = std::get_if<garden::Amended>(&recorded.event.payload);
  if (amended == nullptr) {
    chronicle.add(recorded);
    return {};
  }
  auto found = ledger.find(amended->target);
  if (!found) return fail(found.error());
  if (!*found || (*found)->seq > recorded.seq) {
    chronicle.add(recorded);
    return {};
  }
  const auto target = decode_entry(**found);
  if (!target) return fail(target.error());
  chronicle.add(recorded, &*target);
  return {};
}

Status OpenGarden::Inside::read_tail() {
  constexpr std::size_t at_once = 10'000;
  while (true) {
    auto fresh = ledger->read(chronicle.last_seq() + 1, at_once);
    if (!fresh) return fail(fresh.error());
    for (const store::Entry& entry : *fresh) {
      const auto recorded = decode_entry(entry);
      if (!recorded) return fail(recorded.error());
      if (auto added = add_to(chronicle, *recorded, *ledger); !added) return added;
      const auto& payload = recorded->event.payload;
      if (std::holds_alternative<garden::GardenDescribed>(payload) || std::holds_alternative<garden::Amended>(payload)) zone.reset();
    }
    if (fresh->size() < at_once) break;
  }
  chronicle.settle();
  return {};
}

/// Beside whatever goes on: the copy of the chronicle costs nothing.
void OpenGarden::Inside::keep_snapshot() {
  if (writing_snapshot || chronicle.last_seq() - snapshot_seq < std::max(least_tail, chronicle.last_seq() / tail_share)) return;
  if (snapshot_writer.joinable()) snapshot_writer.join();
  writing_snapshot = true;
  snapshot_seq = chronicle.last_seq();
  snapshot_writer = std::thread([this, copy = chronicle] {
    // A cache: where it can't be kept, the next opening reads the events.
    (void)ledger->snapshot_put(io::chronicle_kind, {copy.last_seq(), io::chronicle_bytes(copy)});
    const std::lock_guard lock(mutex);
    writing_snapshot = false;
  });
}

/// With the first question: whoever only copies or verifies the ledger needs no sums.
void OpenGarden::Inside::begin() {
  if (std::exchange(begun, true)) return;
  // A snapshot that can't be had is no reason to stop: the events are there.
  const auto kept = ledger->snapshot_get(io::chronicle_kind);
  if (!kept || !*kept) return;
  auto read = io::chronicle_from((*kept)->bytes);
  if (!read || read->last_seq() != (*kept)->seq) return;
  chronicle = std::move(*read);
  snapshot_seq = (*kept)->seq;
}

Status OpenGarden::Inside::catch_up() {
  begin();
  const auto last = ledger->last_seq();
  if (!last) return fail(last.error());
  if (*last <= chronicle.last_seq()) return {};
  if (auto read = read_tail(); !read) return read;
  keep_snapshot();
  return {};
}

OpenGarden::OpenGarden(std::unique_ptr<Inside> inside) : inside_{std::move(inside)} {}
OpenGarden::~OpenGarden() = default;

Result<std::unique_ptr<OpenGarden>> OpenGarden::open(const std::string& folder) {
  const fs::path file = fs::path(folder) / ledger_name;
  std::error_code error;
  if (!fs::exists(file, error)) return fail("app.no_garden", {folder, 0, {}}, {}, ErrorKind::not_found);
  auto library = io::built_in_library();
  if (!library) return fail(library.error());
  auto ledger = store::open_sqlite(file.string());
  if (!ledger) return fail(ledger.error());
  auto inside = std::make_unique<Inside>();
  inside->folder = folder;
  inside->ledger = std::move(*ledger);
  inside->library = std::move(*library);
  return std::unique_ptr<OpenGarden>(new OpenGarden(std::move(inside)));
}

Result<std::unique_ptr<OpenGarden>> OpenGarden::create(const std::string& folder) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) return fail("app.folder_not_made", {folder, 0, {}}, {{"reason", error.message()}}, ErrorKind::cannot);
  const fs::path file = fs::path(folder) / ledger_name;
  if (!fs::exists(file, error)) {
    store::OpenOptions options;
    options.create = true;
    if (auto made = store::open_sqlite(file.string(), options); !made) return fail(made.error());
  }
  return open(folder);
}

const std::string& OpenGarden::folder() const { return inside_->folder; }
store::Ledger& OpenGarden::ledger() { return *inside_->ledger; }
const pest::Library& OpenGarden::library() const { return inside_->library; }
store::Together<Writing>& OpenGarden::desk() { return inside_->desk; }

Result<garden::Chronicle> OpenGarden::chronicle() {
  const std::lock_guard lock(inside_->mutex);
  if (auto ready = inside_->catch_up(); !ready) return fail(ready.error());
  return inside_->chronicle;
}

Result<std::uint64_t> OpenGarden::last_seq() { return inside_->ledger->last_seq(); }

Result<garden::Garden> OpenGarden::garden_at(Instant at) {
  auto all = chronicle();
  if (!all) return fail(all.error());
  return all->at(at);
}

Result<std::vector<garden::Recorded>> OpenGarden::told_of(const std::string& bed, std::size_t most) {
  const auto all = chronicle();
  if (!all) return fail(all.error());
  const auto seqs = all->told_of(bed);
  const auto latest = seqs.slice(seqs.size() - std::min(seqs.size(), most), seqs.size());
  const auto entries = inside_->ledger->read_at(std::vector<std::uint64_t>(latest.begin(), latest.end()));
  if (!entries) return fail(entries.error());
  std::vector<garden::Recorded> events;
  for (const store::Entry& entry : *entries) {
    auto recorded = decode_entry(entry);
    if (!recorded) return fail(recorded.error());
    events.push_back(std::move(*recorded));
  }
  return events;
}

Result<std::optional<garden::Recorded>> OpenGarden::event(const Id& id) {
  const auto found = inside_->ledger->find(id);
  if (!found) return fail(found.error());
  if (!*found) return std::optional<garden::Recorded>{};
  auto recorded = decode_entry(**found);
  if (!recorded) return fail(recorded.error());
  return std::optional{std::move(*recorded)};
}

Result<Zone> OpenGarden::zone() {
  const std::lock_guard lock(inside_->mutex);
  if (auto ready = inside_->catch_up(); !ready) return fail(ready.error());
  if (!inside_->zone) {
    // The garden as it stands, amendments and all: waiting times end on this clock.
    const auto& described = inside_->chronicle.parts().all.described;
    auto zone = io::load_zone(described ? described->zone : "UTC");
    if (!zone) return fail(zone.error());
    inside_->zone = std::move(*zone);
  }
  return *inside_->zone;
}

Result<Instant> OpenGarden::asked_time(std::optional<Instant> at, Instant now) {
  const auto all = chronicle();
  if (!all) return fail(all.error());
  auto where = zone();
  if (!where) return fail(where.error());
  const auto& described = all->parts().all.described;
  const Instant own = described && described->own_day ? where->instant(*described->own_day) : now;
  if (!at) return own;
  const Duration year = Duration::hours(366 * 24);
  const Instant first = std::min({all->beginning().value_or(own), own, now}) - year;
  const Instant last = std::max(own, now) + year;
  if (*at < first || *at > last)
    return fail("app.at_out_of_range", {{}, 0, "at"},
                {{"given", where->civil(*at).date}, {"first", where->civil(first).date}, {"last", where->civil(last).date}});
  return *at;
}

}  // namespace leafturn::app
