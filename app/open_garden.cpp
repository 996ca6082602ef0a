#include "app/open_garden.hpp"

#include <algorithm>
#include <filesystem>
#include <limits>
#include <utility>

#include "io/dossier_toml.hpp"
#include "io/event_json.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
constexpr const char* ledger_name = "ledger.db";

}  // namespace

struct OpenGarden::Inside {
  std::unique_ptr<store::Ledger> ledger;
  pest::Library library;
  std::mutex writing;
  std::mutex mutex;  // guards what follows
  std::shared_ptr<const std::vector<garden::Recorded>> events = std::make_shared<std::vector<garden::Recorded>>();
  std::optional<Zone> zone;
};

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

std::unique_lock<std::mutex> OpenGarden::lock_writing() { return std::unique_lock(inside_->writing); }
store::Ledger& OpenGarden::ledger() { return *inside_->ledger; }
const pest::Library& OpenGarden::library() const { return inside_->library; }

Result<std::shared_ptr<const std::vector<garden::Recorded>>> OpenGarden::events() {
  const std::lock_guard lock(inside_->mutex);
  const std::uint64_t have = inside_->events->empty() ? 0 : inside_->events->back().seq;
  auto fresh = inside_->ledger->read(have + 1);
  if (!fresh) return fail(fresh.error());
  if (!fresh->empty()) {
    auto all = std::make_shared<std::vector<garden::Recorded>>(*inside_->events);
    all->reserve(all->size() + fresh->size());
    for (const store::Entry& entry : *fresh) {
      auto event = io::decode_event(entry.envelope.bytes);
      if (!event) {
        event.error().where.file = "seq " + std::to_string(entry.seq);
        return fail(event.error());
      }
      all->push_back({entry.seq, entry.received, std::move(*event)});
    }
    const bool clock_told = std::any_of(all->end() - static_cast<std::ptrdiff_t>(fresh->size()), all->end(), [](const auto& r) {
      return std::holds_alternative<garden::GardenDescribed>(r.event.payload) || std::holds_alternative<garden::Amended>(r.event.payload);
    });
    if (clock_told) inside_->zone.reset();
    inside_->events = std::move(all);
  }
  return inside_->events;
}

Result<garden::Garden> OpenGarden::garden_at(Instant at) {
  auto all = events();
  if (!all) return fail(all.error());
  return garden::fold(**all, at);
}

Result<Zone> OpenGarden::zone() {
  if (auto all = events(); !all) return fail(all.error());
  const std::lock_guard lock(inside_->mutex);
  if (!inside_->zone) {
    // The garden as it stands, amendments and all: waiting times end on this clock.
    const garden::Garden state =
        garden::fold(*inside_->events, Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2));
    auto zone = io::load_zone(state.described ? state.described->zone : "UTC");
    if (!zone) return fail(zone.error());
    inside_->zone = std::move(*zone);
  }
  return *inside_->zone;
}

Result<Instant> OpenGarden::asked_time(std::optional<Instant> at, Instant now) {
  if (at) return *at;
  auto all = events();
  if (!all) return fail(all.error());
  std::optional<CivilTime> own;
  for (const auto& recorded : **all)
    if (const auto* described = std::get_if<garden::GardenDescribed>(&recorded.event.payload)) own = described->own_day;
  if (!own) return now;
  auto where = zone();
  if (!where) return fail(where.error());
  return where->instant(*own);
}

}  // namespace leafturn::app
