#include "app/import_garden.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <limits>
#include <map>
#include <set>

#include "app/open_garden.hpp"
#include "core/decision/proposal.hpp"
#include "embedded/demo.hpp"
#include "io/card_toml.hpp"
#include "io/dossier_toml.hpp"
#include "io/event_json.hpp"
#include "io/garden_files.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;

// The id of an imported row follows from what it says, so that importing a folder again adds only what is new. Two rows that say the very
// same (two people, one count) are told apart by how often it was said.
Id id_of(const garden::Event& event, std::uint64_t times_said) {
  garden::Event bare = event;
  bare.heading.id = {};
  bare.heading.writer_seq = times_said;
  const Digest digest = store::sha256(io::encode_event(bare));
  std::array<std::uint8_t, 10> rest{};
  std::copy_n(digest.bytes.begin(), rest.size(), rest.begin());
  const std::int64_t ms = std::max<std::int64_t>(0, event.heading.happened_at.unix_microseconds() / 1000);
  return Id::version7(static_cast<std::uint64_t>(ms), rest);
}

Result<std::vector<io::NamedBytes>> read_folder(const std::string& folder) {
  std::error_code error;
  if (!fs::is_directory(folder, error)) return fail("import.no_folder", {folder, 0, {}}, {}, ErrorKind::not_found);
  std::vector<io::NamedBytes> files;
  for (fs::recursive_directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    if (!it->is_regular_file()) continue;
    const std::string name = fs::relative(it->path(), folder).generic_string();
    if (!name.ends_with(".csv") && !name.ends_with(".toml")) continue;
    std::ifstream in(it->path(), std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(in), {}};
    if (!in && !in.eof()) return fail("import.unreadable", {name, 0, {}}, {}, ErrorKind::cannot);
    files.push_back({name, std::move(bytes)});
  }
  if (error) return fail("import.unreadable", {folder, 0, {}}, {{"reason", error.message()}}, ErrorKind::cannot);
  std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
  return files;
}

/// Which sprays the card on file plainly refuses: told by their place in `said`. Oldest first, each after those before it; a harvest
/// planned too soon is the harvest's matter. What a card leaves unknown is told by the board, field by field.
Result<std::set<std::size_t>> outside_label(const io::GardenFiles& read, const pest::Library& library) {
  std::set<std::size_t> outside;
  std::map<Digest, label::Card> cards;
  std::vector<garden::Recorded> told;
  for (std::size_t i = 0; i < read.said.size(); ++i) {
    garden::Event event{{Id::version7(i, {}), "import", i + 1, read.said[i].happened_at, {}}, {}};
    std::visit([&](const auto& saying) { event.payload = saying; }, read.said[i].saying);
    told.push_back({i + 1, read.said[i].happened_at, std::move(event)});
  }
  const garden::Garden all = garden::fold(told, Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2));
  if (!all.described) return outside;
  auto zone = io::load_zone(all.described->zone);
  if (!zone) return fail(zone.error());
  for (const io::NamedBytes& blob : read.blobs)
    if (auto card = io::read_card_toml(blob.bytes, blob.name); card) cards.emplace(store::sha256(blob.bytes), std::move(*card));

  garden::Garden before = all;
  before.applications.clear();
  for (const auto& a : all.applications) {
    const auto card = a.what.card ? cards.find(*a.what.card) : cards.end();
    const auto parsed = label::parse_rate(a.what.rate);
    const std::optional<label::ProductRate> rate = parsed ? std::optional{*parsed} : std::nullopt;
    for (const garden::Planting* p : all.standing(a.what.bed, a.at, zone->civil(a.at).date)) {
      if (card == cards.end()) continue;
      auto proposal = decision::proposal_for(before, *zone, *p, a.at, rate);
      proposal.harvests.clear();
      if (label::judge(card->second, proposal, library).verdict != label::Verdict::refused) continue;
      for (std::size_t i = 0; i < told.size(); ++i)
        if (told[i].event.heading.id == a.id) outside.insert(i);
    }
    before.applications.push_back(a);
  }
  return outside;
}

// Nothing is wrong with a planting set out next month; a count of next year is a slip. Either is used only when its day has come.
void note_rows_to_come(const io::GardenFiles& read, Instant now, std::vector<Reason>& notes) {
  std::map<std::string, std::int64_t> rows;
  for (const io::Said& said : read.said)  // a demo has a day of its own
    if (const auto* described = std::get_if<garden::GardenDescribed>(&said.saying); described != nullptr && described->own_day) return;
  for (const io::Said& said : read.said)
    if (said.happened_at > now && said.where.file.ends_with(".csv")) ++rows[said.where.file];
  for (const auto& [file, n] : rows) notes.push_back({"garden.rows_to_come", {{"file", file}, {"n", n}}});
}

Result<ImportReport> import_files(const std::vector<io::NamedBytes>& files, const std::string& into, const std::string& writer,
                                  Instant now) {
  auto library = io::built_in_library();
  if (!library) return fail(library.error());
  auto read = io::read_garden_files(files, *library);
  if (!read) return fail(read.error());
  auto outside = outside_label(*read, *library);
  if (!outside) return fail(outside.error());
  auto garden = OpenGarden::create(into);
  if (!garden) return fail(garden.error());
  const auto chronicle = (*garden)->chronicle();
  if (!chronicle) return fail(chronicle.error());
  std::uint64_t writer_seq = chronicle->last_of(writer);
  ImportReport report;
  std::vector<store::Envelope> batch;
  std::set<Id> said_now;
  for (std::size_t place = 0; place < read->said.size(); ++place) {
    const io::Said& said = read->said[place];
    garden::Event event{{{}, writer, 0, said.happened_at, said.by}, {}};
    std::visit([&](const auto& saying) { event.payload = saying; }, said.saying);
    std::uint64_t times = 0;
    do event.heading.id = id_of(event, times++);
    while (said_now.contains(event.heading.id));
    said_now.insert(event.heading.id);
    const auto there = (*garden)->ledger().find(event.heading.id);
    if (!there) return fail(there.error());
    if (*there) {
      ++report.had;
      continue;
    }
    // After the id, which follows from the row alone: another copy of the card must not make it another spray.
    if (outside->contains(place)) {
      std::get<garden::Application>(event.payload).outside_label = true;
      ++report.outside_label;
    }
    event.heading.writer_seq = ++writer_seq;
    std::string bytes = io::encode_event(event);
    batch.push_back({event.heading.id, writer, event.heading.writer_seq, event.heading.happened_at, std::move(bytes)});
  }
  for (const io::NamedBytes& blob : read->blobs)
    if (auto put = (*garden)->ledger().blob_put(blob.bytes); !put) return fail(put.error());
  if (!batch.empty()) {
    auto receipts = (*garden)->ledger().append(batch, now);
    if (!receipts) return fail(receipts.error());
    report.events = receipts->size();
  }
  report.notes = std::move(read->notes);
  note_rows_to_come(*read, now, report.notes);
  auto verified = (*garden)->ledger().verify();
  if (!verified) return fail(verified.error());
  report.head = verified->head;
  return report;
}

}  // namespace

Result<ImportReport> import_garden(const std::string& folder, const std::string& into, Instant now) {
  auto files = read_folder(folder);
  if (!files) return fail(files.error());
  return import_files(*files, into, "import", now);
}

Result<ImportReport> make_demo(const std::string& folder, Instant now) {
  std::error_code error;
  if (fs::exists(fs::path(folder) / "ledger.db", error)) return fail("app.garden_exists", {folder, 0, {}});
  std::vector<io::NamedBytes> files;
  for (const embedded::File& file : embedded::demo())
    files.push_back({std::string(file.name.substr(std::string_view{"demo/"}.size())), std::string(file.bytes)});
  return import_files(files, folder, "demo", now);
}

}  // namespace leafturn::app
