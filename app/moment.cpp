#include "app/moment.hpp"

#include <utility>

#include "app/materials.hpp"

namespace leafturn::app {

Result<Moment> moment_of(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto state = garden.garden_at(*asked);
  if (!state) return fail(state.error());
  auto cards = cards_of(garden, *state);
  if (!cards) return fail(cards.error());
  auto files = weather_of(garden, *state);
  if (!files) return fail(files.error());
  const Date day = zone->civil(*asked).date;
  return Moment{*asked, std::move(*zone), day, std::move(*state), std::move(*cards), std::move(*files)};
}

}  // namespace leafturn::app
