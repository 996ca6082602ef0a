#include "app/brief_cache.hpp"

#include <algorithm>

namespace leafturn::app {

struct BriefCache::Wanted {
  const std::vector<garden::Recorded>& events;
  Instant at;
  bool given;

  std::uint64_t last_seq() const { return events.empty() ? 0 : events.back().seq; }
  bool fits(const Kept& kept) const {
    if (kept.last_seq != last_seq() || kept.given != given) return false;
    if (kept.at == at) return true;
    if (given || at < kept.at || at - kept.at >= Duration::minutes(1)) return false;
    const Zone& zone = kept.answer->zone;
    return zone.civil(kept.at).date == zone.civil(at).date && !takes_effect_after(kept.at);
  }

 private:
  bool takes_effect_after(Instant from) const {
    const auto between = [&](Instant time) { return time > from && time <= at; };
    return std::any_of(events.begin(), events.end(), [&](const auto& one) {
      const auto* amended = std::get_if<garden::Amended>(&one.event.payload);
      return between(one.event.heading.happened_at) || (amended != nullptr && amended->happened_at && between(*amended->happened_at));
    });
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
  const auto events = garden.events();
  if (!events) return fail(events.error());
  const Wanted wanted{**events, *asked, at.has_value()};
  if (auto answer = find(wanted)) return answer;
  const std::lock_guard making(making_);
  if (auto answer = find(wanted)) return answer;
  auto fresh = brief(garden, at, now);
  if (!fresh) return fail(fresh.error());
  auto answer = std::make_shared<const BriefAnswer>(std::move(*fresh));
  const std::lock_guard lock(mutex_);
  ++made_;
  kept_.push_front({wanted.last_seq(), *asked, wanted.given, answer});
  if (kept_.size() > most_) kept_.pop_back();
  return answer;
}

std::size_t BriefCache::made() const {
  const std::lock_guard lock(mutex_);
  return made_;
}

}  // namespace leafturn::app
