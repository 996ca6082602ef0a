#include "app/moment.hpp"

#include <algorithm>
#include <utility>

#include "app/materials.hpp"

namespace leafturn::app {
namespace {

// What was counted, picked or pulled before the last year began says nothing of today, and a ledger may hold decades of it. What was
// sprayed stays, because cards count over years.
constexpr Duration remembered = Duration::hours(24 * 2 * 366);

template <class T>
SharedList<T> since(const SharedList<T>& list, Instant from) {
  const auto first = std::partition_point(list.begin(), list.end(), [&](const T& item) { return item.at < from; });
  return list.slice(static_cast<std::size_t>(first - list.begin()), list.size());
}

}  // namespace

Result<Moment> moment_without_weather(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto state = garden.garden_at(*asked);
  if (!state) return fail(state.error());
  state->counts = since(state->counts, *asked - remembered);
  state->work = since(state->work, *asked - remembered);
  state->harvests = since(state->harvests, *asked - remembered);
  auto cards = cards_of(garden, *state);
  if (!cards) return fail(cards.error());
  const Date day = zone->civil(*asked).date;
  return Moment{*asked, std::move(*zone), day, std::move(*state), std::move(*cards), {}};
}

Result<Moment> moment_of(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto moment = moment_without_weather(garden, at, now);
  if (!moment) return moment;
  auto files = weather_of(garden, moment->garden);
  if (!files) return fail(files.error());
  moment->files = std::move(*files);
  return moment;
}

}  // namespace leafturn::app
