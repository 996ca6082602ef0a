#include "app/brief.hpp"

#include "app/materials.hpp"
#include "app/population.hpp"
#include "app/weather_known.hpp"

namespace leafturn::app {

Result<BriefAnswer> brief(OpenGarden& garden, std::optional<Instant> at, Instant now) {
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

  BriefAnswer answer;
  answer.garden = std::move(*state);
  answer.cards = std::move(*cards);
  answer.zone = std::move(*zone);
  if (answer.garden.described) answer.units = answer.garden.described->units;
  decision::BriefRequest request;
  request.garden = &answer.garden;
  request.library = &garden.library();
  request.cards = answer.cards;
  request.zone = answer.zone;
  request.at = *asked;
  request.weather = weather_known(*files, answer.zone.civil(*asked).date);
  const auto numbers = numbers_for_brief(request);
  request.numbers = &numbers;
  answer.brief = decision::make_brief(request);
  return answer;
}

}  // namespace leafturn::app
