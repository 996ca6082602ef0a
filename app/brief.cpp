#include "app/brief.hpp"

#include "app/moment.hpp"
#include "app/population.hpp"
#include "app/weather_known.hpp"

namespace leafturn::app {

Result<BriefAnswer> brief(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto moment = moment_of(garden, at, now);
  if (!moment) return fail(moment.error());
  BriefAnswer answer;
  answer.garden = std::move(moment->garden);
  answer.cards = std::move(moment->cards);
  answer.zone = std::move(moment->zone);
  if (answer.garden.described) answer.units = answer.garden.described->units;
  decision::BriefRequest request;
  request.garden = &answer.garden;
  request.library = &garden.library();
  request.cards = answer.cards;
  request.zone = answer.zone;
  request.at = moment->at;
  request.weather = weather_known(moment->files, moment->day);
  const auto numbers = numbers_for_brief(request);
  request.numbers = &numbers;
  answer.brief = decision::make_brief(request);
  return answer;
}

}  // namespace leafturn::app
