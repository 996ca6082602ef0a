#pragma once
/// A garden folder in use: its ledger, what the ledger adds up to, and the knowledge the program brings.
/// Safe to share between threads; every call sees all events acknowledged before it.

#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/result.hpp"
#include "core/garden/garden.hpp"
#include "core/pest/dossier.hpp"
#include "store/ledger.hpp"

namespace leafturn::app {

class OpenGarden {
 public:
  /// `folder/ledger.db` must exist: `app.no_garden` otherwise.
  static Result<std::unique_ptr<OpenGarden>> open(const std::string& folder);
  /// Makes the folder and an empty ledger; a folder that already holds one is opened.
  static Result<std::unique_ptr<OpenGarden>> create(const std::string& folder);
  ~OpenGarden();

  store::Ledger& ledger();
  const pest::Library& library() const;
  /// All events so far, decoded, in ledger order. Cheap when nothing is new.
  Result<std::shared_ptr<const std::vector<garden::Recorded>>> events();
  /// The garden at `at`, as known now.
  Result<garden::Garden> garden_at(Instant at);
  /// The garden's zone; UTC before the garden is described.
  Result<Zone> zone();
  /// Held from judging an event to appending it, so that two writers can't both be the last application a card allows.
  std::unique_lock<std::mutex> lock_writing();
  /// The time a question is about when none was given: a demo's own day, else `now`.
  Result<Instant> asked_time(std::optional<Instant> at, Instant now);

 private:
  struct Inside;
  explicit OpenGarden(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace leafturn::app
