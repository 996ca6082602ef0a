#include "app/moment.hpp"

#include <utility>

#include "app/materials.hpp"

namespace leafturn::app {
namespace {

// What was counted, picked or pulled before the last year began says nothing of today, and a ledger may hold decades of it. What was
// sprayed stays, because cards count over years.
constexpr Duration remembered = Duration::hours(24 * 2 * 366);

}  // namespace

Result<Moment> moment_without_weather(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto state = garden.garden_at(*asked);
  if (!state) return fail(state.error());
  state->counts = garden::within(state->counts, *asked - remembered, *asked);
  state->work = garden::within(state->work, *asked - remembered, *asked);
  state->harvests = garden::within(state->harvests, *asked - remembered, *asked);
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
