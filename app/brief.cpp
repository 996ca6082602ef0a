#include "app/brief.hpp"

#include "app/moment.hpp"
#include "app/population.hpp"

namespace leafturn::app {

Result<BriefAnswer> brief(OpenGarden& garden, std::optional<Instant> at, Instant now, DayShelf* shelf) {
  auto moment = moment_without_weather(garden, at, now);
  if (!moment) return fail(moment.error());
  BriefAnswer answer;
  answer.garden = std::move(moment->garden);
  answer.cards = std::move(moment->cards);
  answer.zone = std::move(moment->zone);
  if (answer.garden.described) answer.units = answer.garden.described->units;
  DayShelf own;
  DayShelf& on_shelf = shelf != nullptr ? *shelf : own;
  auto known = on_shelf.take(garden, answer.garden, moment->day);
  if (!known) return fail(known.error());
  decision::BriefRequest request;
  request.garden = &answer.garden;
  request.library = &garden.library();
  request.cards = answer.cards;
  request.zone = answer.zone;
  request.at = moment->at;
  request.weather = known->weather;
  request.calendars = &known->calendars;
  const auto numbers = numbers_for_brief(request);
  request.numbers = &numbers;
  answer.brief = decision::make_brief(request);
  on_shelf.put(answer.garden, moment->day, *known);
  return answer;
}

}  // namespace leafturn::app
