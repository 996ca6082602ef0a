#pragma once
/// What every question about a garden at a time begins with, read from its ledger.

#include <map>
#include <optional>
#include <vector>

#include "app/open_garden.hpp"
#include "app/weather_known.hpp"
#include "core/label/card.hpp"

namespace leafturn::app {

struct Moment {
  Instant at;
  Zone zone;
  Date day;               ///< of `at`, in the garden's zone
  garden::Garden garden;  ///< at `at`, as known now; counts, work and harvests of the last two years
  std::map<Digest, label::Card> cards;
  std::vector<WeatherFile> files;
};

/// `at` absent: the garden's own day, else `now`. Errors: open_garden's, cards_of's and weather_of's.
Result<Moment> moment_of(OpenGarden& garden, std::optional<Instant> at, Instant now);
/// The same with `files` left empty, for those who have the weather from elsewhere (day_shelf.hpp).
Result<Moment> moment_without_weather(OpenGarden& garden, std::optional<Instant> at, Instant now);

}  // namespace leafturn::app
