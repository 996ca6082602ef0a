#include "app/restore.hpp"

#include <stdlib.h>

#include <filesystem>
#include <limits>
#include <set>
#include <utility>

#include "app/open_garden.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;

/// A folder that is gone when it goes out of scope, unless kept.
class Folder {
 public:
  explicit Folder(std::string path) : path_{std::move(path)} {}
  ~Folder() {
    std::error_code ignored;
    if (!kept_ && !path_.empty()) fs::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  const std::string& path() const { return path_; }
  void keep() { kept_ = true; }

 private:
  std::string path_;
  bool kept_ = false;
};

Result<std::string> temporary_folder() {
  std::error_code error;
  std::string pattern = (fs::temp_directory_path(error) / "leafturn-restore-XXXXXX").string();
  if (error || ::mkdtemp(pattern.data()) == nullptr)
    return fail("app.folder_not_made", {pattern, 0, {}}, {{"reason", std::string("mkdtemp")}}, ErrorKind::cannot);
  return pattern;
}

/// Beside its final name, so that a garden is whole under its name or not there.
Result<std::string> folder_beside(const std::string& into) {
  std::error_code error;
  const std::string partial = into + ".restoring";
  fs::remove_all(partial, error);
  fs::create_directories(partial, error);
  if (error) return fail("app.folder_not_made", {partial, 0, {}}, {{"reason", error.message()}}, ErrorKind::cannot);
  return partial;
}

Result<std::vector<std::string>> missing_texts(OpenGarden& garden, const garden::Garden& state) {
  std::vector<std::pair<Digest, std::string>> named;
  for (const auto& card : state.cards) named.emplace_back(card.what.text, card.what.product);
  for (const auto& file : state.weather) named.emplace_back(file.what.text, file.what.name);
  for (const auto& spray : state.applications)
    if (spray.what.card) named.emplace_back(*spray.what.card, spray.what.product);
  std::set<Digest> seen;
  std::vector<std::string> missing;
  for (const auto& [digest, name] : named) {
    if (!seen.insert(digest).second) continue;
    const auto text = garden.ledger().blob_get(digest);
    if (text) continue;
    if (text.error().code != "ledger.no_such_blob" && text.error().code != "ledger.blob_changed") return fail(text.error());
    missing.push_back(name);
  }
  return missing;
}

Status fill(Restored& restored, const std::string& folder, const std::optional<Digest>& head) {
  auto garden = OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  store::Ledger& ledger = (*garden)->ledger();
  auto verification = ledger.verify();
  if (!verification) return fail(verification.error());
  if (head && verification->intact) {
    const auto with = ledger.verify(head);
    if (!with) return fail(with.error());
    restored.has_head = with->intact;
  }
  restored.verification = std::move(*verification);
  if (!restored.verification.intact) return {};
  auto state = (*garden)->garden_at(Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2));
  if (!state) return fail(state.error());
  auto missing = missing_texts(**garden, *state);
  if (!missing) return fail(missing.error());
  restored.missing = std::move(*missing);
  restored.garden = std::move(*state);
  auto zone = (*garden)->zone();
  if (!zone) return fail(zone.error());
  restored.zone = std::move(*zone);
  const std::vector<std::uint64_t> ends{1, restored.verification.events};
  const auto entries = ledger.read_at(ends);
  if (!entries) return fail(entries.error());
  if (!entries->empty()) {
    restored.first = entries->front().received;
    restored.last = entries->back().received;
  }
  const auto guests = ledger.guests();
  if (!guests) return fail(guests.error());
  restored.guests = guests->size();
  return {};
}

}  // namespace

Result<Restored> restore_ledger(const std::string& backup, const std::optional<std::string>& into, const std::optional<Digest>& head) {
  std::error_code error;
  if (into && fs::exists(fs::path(*into) / "ledger.db", error)) return fail("app.garden_exists", {*into, 0, {}});
  const auto made = into ? folder_beside(*into) : temporary_folder();
  if (!made) return fail(made.error());
  Folder folder(*made);
  if (auto copied = store::restore_sqlite(backup, (fs::path(folder.path()) / "ledger.db").string()); !copied) return fail(copied.error());
  Restored restored;
  if (auto filled = fill(restored, folder.path(), head); !filled) return fail(filled.error());
  if (!into || !restored.yes()) return restored;
  fs::create_directories(*into, error);
  for (const auto& entry : fs::directory_iterator(folder.path(), error))
    if (!error) fs::rename(entry.path(), fs::path(*into) / entry.path().filename(), error);
  if (error) return fail("app.folder_not_made", {*into, 0, {}}, {{"reason", error.message()}}, ErrorKind::cannot);
  restored.folder = *into;
  return restored;
}

}  // namespace leafturn::app
