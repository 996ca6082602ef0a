#pragma once
/// Briefs already made, for pages that ask several questions about the same moment.

#include <cstddef>
#include <list>
#include <memory>
#include <mutex>
#include <optional>

#include "app/brief.hpp"

namespace leafturn::app {

/// Safe to share between threads. An answer is used again only while no event has been appended since, by whomever, and
/// - the time asked about is given and the same, or
/// - none was given, it is less than a minute later on the same day of the garden, and nothing already written took effect in between. A
///   hold that ends within that minute is then lifted up to a minute late, never early.
class BriefCache {
 public:
  explicit BriefCache(std::size_t most = 8) : most_{most} {}

  /// As app::brief.
  Result<std::shared_ptr<const BriefAnswer>> get(OpenGarden& garden, std::optional<Instant> at, Instant now);
  /// How many were made, not found: for tests and measuring.
  std::size_t made() const;

 private:
  struct Kept {
    std::uint64_t last_seq = 0;
    Instant at;
    bool given = false;  ///< the time was given, not the clock's
    std::shared_ptr<const BriefAnswer> answer;
  };
  struct Wanted;
  std::shared_ptr<const BriefAnswer> find(const Wanted& wanted);

  std::size_t most_;
  DayShelf shelf_;
  std::mutex making_;         ///< two pages that ask at once wait for one brief instead of making two
  mutable std::mutex mutex_;  ///< guards what follows
  std::list<Kept> kept_;      ///< latest used first
  std::size_t made_ = 0;
};

}  // namespace leafturn::app
