#include "app/brief_cache.hpp"

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>

namespace leafturn::app {

struct BriefCache::Wanted {
  const garden::Chronicle& chronicle;
  Instant at;
  bool given;

  // Made from more than was asked for is as good: who waited for another's answer need not make his own.
  bool fits(const Kept& kept) const {
    return kept.last_seq >= chronicle.last_seq() && moment_fits(kept, Duration::minutes(1), &garden::Chronicle::changes_between);
  }
  bool may_stand_in(const Kept& kept, std::uint64_t at_least) const {
    return kept.last_seq >= std::max(at_least, chronicle.last_binding()) &&
           moment_fits(kept, Duration::seconds(30), &garden::Chronicle::binds_between);
  }

 private:
  bool moment_fits(const Kept& kept, Duration longest, bool (garden::Chronicle::*differs)(Instant, Instant) const) const {
    if (kept.given != given) return false;
    if (kept.at == at) return true;
    if (given || at < kept.at || at - kept.at >= longest) return false;
    const Zone& zone = kept.answer->zone;
    return zone.civil(kept.at).date == zone.civil(at).date && !(chronicle.*differs)(kept.at, at);
  }
};

BriefCache::~BriefCache() {
  if (maker_.joinable()) maker_.join();
}

BriefCache::Answer BriefCache::find(const Wanted& wanted, const std::uint64_t* stand_in) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const Kept& kept) {
    return wanted.fits(kept) || (stand_in != nullptr && wanted.may_stand_in(kept, *stand_in));
  });
  if (found == kept_.end()) return nullptr;
  kept_.splice(kept_.begin(), kept_, found);
  return found->answer;
}

/// With `making_` held.
Result<BriefCache::Answer> BriefCache::make(OpenGarden& garden, const Wanted& wanted, Instant now) {
  auto fresh = brief(garden, wanted.given ? std::optional{wanted.at} : std::nullopt, now, &shelf_);
  if (!fresh) return fail(fresh.error());
  auto answer = std::make_shared<const BriefAnswer>(std::move(*fresh));
  const std::lock_guard lock(mutex_);
  ++made_;
  kept_.push_front({wanted.chronicle.last_seq(), wanted.at, wanted.given, answer});
  if (kept_.size() > most_) kept_.pop_back();
  return answer;
}

/// Whether this many ask within a second.
bool BriefCache::crowded(Instant now) {
  const std::lock_guard lock(mutex_);
  const Instant longest_ago = asked_[asked_next_];
  asked_[asked_next_] = now;
  asked_next_ = (asked_next_ + 1) % asked_.size();
  return now - longest_ago < Duration::seconds(1);
}

void BriefCache::make_aside(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  const std::lock_guard lock(mutex_);
  if (std::exchange(aside_, true)) return;
  if (maker_.joinable()) maker_.join();
  maker_ = std::thread([this, &garden, at, now] {
    // Those who wait for less go first; its workers are as patient.
    (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), 5);
    try {
      (void)get(garden, at, now);
    } catch (...) {  // NOLINT(bugprone-empty-catch): out of memory; who asks next makes it, and is told
    }
    const std::lock_guard done(mutex_);
    aside_ = false;
  });
}

Result<BriefCache::Answer> BriefCache::get(OpenGarden& garden, std::optional<Instant> at, Instant now,
                                           std::optional<std::uint64_t> stand_in) {
  const auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  // What is in the ledger is read before the brief is made: one that was made from more than that is only made again sooner.
  const auto chronicle = garden.chronicle();
  if (!chronicle) return fail(chronicle.error());
  const Wanted wanted{*chronicle, *asked, at.has_value()};
  const bool many = stand_in && crowded(now);
  if (auto answer = find(wanted)) return answer;
  if (many) {
    if (auto answer = find(wanted, &*stand_in)) {
      make_aside(garden, at, now);
      return answer;
    }
  }
  std::unique_lock making(making_, std::defer_lock);
  if (stand_in && !making.try_lock()) {
    if (auto answer = find(wanted, &*stand_in)) return answer;
  }
  if (!making.owns_lock()) making.lock();
  if (auto answer = find(wanted)) return answer;
  return make(garden, wanted, now);
}

std::size_t BriefCache::made() const {
  const std::lock_guard lock(mutex_);
  return made_;
}

}  // namespace leafturn::app
