#pragma once
/// Answers already made, for pages that ask again: while no event has been appended since and the day, or the time given, is the same.

#include <cstddef>
#include <cstdint>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>

#include "app/open_garden.hpp"

namespace leafturn::app {

/// Safe to share between threads; two pages that ask at once wait for one answer instead of making two.
template <class Key, class Answer>
class DayCache {
 public:
  explicit DayCache(std::size_t most) : most_{most} {}

  /// `make()` gives a Result<Answer> where none is kept.
  template <class Make>
  Result<std::shared_ptr<const Answer>> get(OpenGarden& garden, const Key& key, std::optional<Instant> at, Instant now, const Make& make) {
    const auto asked = garden.asked_time(at, now);
    if (!asked) return fail(asked.error());
    const auto zone = garden.zone();
    if (!zone) return fail(zone.error());
    const auto last_seq = garden.last_seq();
    if (!last_seq) return fail(last_seq.error());
    const Date day = zone->civil(*asked).date;
    const std::lock_guard lock(making_);
    for (auto it = kept_.begin(); it != kept_.end(); ++it)
      if (it->key == key && it->last_seq >= *last_seq && it->day == day && it->given == at) {
        kept_.splice(kept_.begin(), kept_, it);
        return kept_.front().answer;
      }
    auto fresh = make();
    if (!fresh) return fail(fresh.error());
    kept_.push_front({key, *last_seq, day, at, std::make_shared<const Answer>(std::move(*fresh))});
    if (kept_.size() > most_) kept_.pop_back();
    return kept_.front().answer;
  }

 private:
  struct Kept {
    Key key;
    std::uint64_t last_seq = 0;
    Date day;
    std::optional<Instant> given;
    std::shared_ptr<const Answer> answer;
  };
  std::size_t most_;
  std::mutex making_;  ///< guards what follows too
  std::list<Kept> kept_;
};

}  // namespace leafturn::app
