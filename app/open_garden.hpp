#pragma once
/// A garden folder in use: its ledger, what the ledger adds up to, and the knowledge the program brings.
/// Safe to share between threads; every call sees all events acknowledged before it.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/result.hpp"
#include "core/garden/chronicle.hpp"
#include "core/pest/dossier.hpp"
#include "store/ledger.hpp"
#include "store/together.hpp"

namespace leafturn::app {

/// An event on its way into the ledger, and what became of it (app/record).
struct Writing;

class OpenGarden {
 public:
  /// `folder/ledger.db` must exist: `app.no_garden` otherwise. What many events add up to is taken from a snapshot and those after it; a
  /// new snapshot is made when enough have come.
  static Result<std::unique_ptr<OpenGarden>> open(const std::string& folder);
  /// Makes the folder and an empty ledger; a folder that already holds one is opened.
  static Result<std::unique_ptr<OpenGarden>> create(const std::string& folder);
  ~OpenGarden();

  const std::string& folder() const;
  store::Ledger& ledger();
  const pest::Library& library() const;
  /// What all events add up to so far. Cheap, however many there are.
  Result<garden::Chronicle> chronicle();
  Result<std::uint64_t> last_seq();
  /// The garden at `at`, as known now.
  Result<garden::Garden> garden_at(Instant at);
  /// The events that tell of a bed, as written, amendments among them, in ledger order; of very many the latest `most`.
  Result<std::vector<garden::Recorded>> told_of(const std::string& bed, std::size_t most);
  /// The event of this id, when the ledger holds it.
  Result<std::optional<garden::Recorded>> event(const Id& id);
  /// The garden's zone; UTC before the garden is described.
  Result<Zone> zone();
  /// Where events are judged one after the other, and written down together.
  store::Together<Writing>& desk();
  /// The time a question is about; when none was given, a demo's own day, else `now`. Error: `app.at_out_of_range` more than a year before
  /// the garden was first described or after now, where there is nothing to say and much to compute.
  Result<Instant> asked_time(std::optional<Instant> at, Instant now);

 private:
  struct Inside;
  explicit OpenGarden(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

/// An entry of the ledger, understood; the error names its place.
Result<garden::Recorded> decode_entry(const store::Entry& entry);
/// Adds one to a chronicle of the same ledger, with the event it amends.
Status add_to(garden::Chronicle& chronicle, const garden::Recorded& recorded, store::Ledger& ledger);

}  // namespace leafturn::app
