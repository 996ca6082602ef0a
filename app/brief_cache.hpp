#pragma once
/// Briefs already made, for pages that ask several questions about the same moment.

#include <array>
#include <cstddef>
#include <cstdint>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>

#include "app/brief.hpp"
#include "app/day_shelf.hpp"

namespace leafturn::app {

/// Safe to share between threads; the garden must outlive it. An answer is used again only while no event has been appended since, by
/// whomever, and
/// - the time asked about is given and the same, or
/// - none was given, it is less than a minute later on the same day of the garden, and nothing already written took effect in between. A
///   hold that ends within that minute is then lifted up to a minute late, never early.
class BriefCache {
 public:
  explicit BriefCache(std::size_t most = 8) : most_{most} {}
  ~BriefCache();
  BriefCache(const BriefCache&) = delete;
  BriefCache& operator=(const BriefCache&) = delete;

  /// As app::brief. With `stand_in`, the one before may stand in while a new one is being made (which many asking at once leave to a
  /// thread of its own), if it holds everything up to `stand_in` and everything that may change what is to be picked, entered or sprayed
  /// (Chronicle::last_binding), for half a minute at most. Its garden's `last_seq` tells how far it goes.
  Result<std::shared_ptr<const BriefAnswer>> get(OpenGarden& garden, std::optional<Instant> at, Instant now,
                                                 std::optional<std::uint64_t> stand_in = {});
  /// How many were made, not found: for tests and measuring.
  std::size_t made() const;

 private:
  using Answer = std::shared_ptr<const BriefAnswer>;
  struct Kept {
    std::uint64_t last_seq = 0;
    Instant at;
    bool given = false;  ///< the time was given, not the clock's
    Answer answer;
  };
  struct Wanted;
  Answer find(const Wanted& wanted, const std::uint64_t* stand_in = nullptr);
  Result<Answer> make(OpenGarden& garden, const Wanted& wanted, Instant now);
  bool crowded(Instant now);
  void make_aside(OpenGarden& garden, std::optional<Instant> at, Instant now);

  std::size_t most_;
  DayShelf shelf_;
  std::mutex making_;         ///< two pages that ask at once wait for one brief instead of making two
  mutable std::mutex mutex_;  ///< guards what follows
  std::list<Kept> kept_;      ///< latest used first
  std::size_t made_ = 0;
  std::array<Instant, 8> asked_{};  ///< when the last ones asked, around
  std::size_t asked_next_ = 0;
  bool aside_ = false;  ///< one is being made by the thread
  std::thread maker_;
};

}  // namespace leafturn::app
