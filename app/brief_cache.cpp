#include "app/brief_cache.hpp"

#include <algorithm>

namespace leafturn::app {

struct BriefCache::Wanted {
  const garden::Chronicle& chronicle;
  Instant at;
  bool given;

  bool fits(const Kept& kept) const {
    // Made from more than was asked for is as good: who waited for another's answer need not make his own.
    if (kept.last_seq < chronicle.last_seq() || kept.given != given) return false;
    if (kept.at == at) return true;
    if (given || at < kept.at || at - kept.at >= Duration::minutes(1)) return false;
    const Zone& zone = kept.answer->zone;
    return zone.civil(kept.at).date == zone.civil(at).date && !chronicle.changes_between(kept.at, at);
  }
};

std::shared_ptr<const BriefAnswer> BriefCache::find(const Wanted& wanted) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const Kept& kept) { return wanted.fits(kept); });
  if (found == kept_.end()) return nullptr;
  kept_.splice(kept_.begin(), kept_, found);
  return found->answer;
}

Result<std::shared_ptr<const BriefAnswer>> BriefCache::get(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  const auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  // What is in the ledger is read before the brief is made: one that was made from more than that is only made again sooner.
  const auto chronicle = garden.chronicle();
  if (!chronicle) return fail(chronicle.error());
  const Wanted wanted{*chronicle, *asked, at.has_value()};
  if (auto answer = find(wanted)) return answer;
  const std::lock_guard making(making_);
  if (auto answer = find(wanted)) return answer;
  auto fresh = brief(garden, at, now, &shelf_);
  if (!fresh) return fail(fresh.error());
  auto answer = std::make_shared<const BriefAnswer>(std::move(*fresh));
  const std::lock_guard lock(mutex_);
  ++made_;
  kept_.push_front({chronicle->last_seq(), *asked, wanted.given, answer});
  if (kept_.size() > most_) kept_.pop_back();
  return answer;
}

std::size_t BriefCache::made() const {
  const std::lock_guard lock(mutex_);
  return made_;
}

}  // namespace leafturn::app
