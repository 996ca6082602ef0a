#pragma once
/// Found today: when eggs hatch, and when the stages after them come.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/open_garden.hpp"
#include "core/phenology/hatch.hpp"

namespace leafturn::app {

/// Found eggs (or any other stage) gone on with, by the garden's weather.
struct HatchQuestion {
  std::string pest;
  std::string found;                 ///< a day (read as its noon) or a time of the garden
  std::optional<std::string> stage;  ///< `egg` if absent
  std::optional<std::string> age;    ///< `fresh`, `unknown` (if absent), `old`
};

struct HatchAnswer {
  pest::Dossier pest;
  CivilTime found;
  std::size_t stage = 0;
  phenology::Age age = phenology::Age::unknown;
  phenology::Hatch hatch;
  std::int32_t offset_seconds = 0;   ///< of the local standard time of the answer's clock times
  std::optional<Date> weather_last;  ///< last recorded day
  std::vector<Reason> notes;
};

/// Errors: `app.no_such_pest`, `app.no_such_stage`, `hatch.age_word`, `hatch.last_stage` (nothing comes after it), those of the day,
/// `hatch.no_weather` when none of the weather is of that day or later.
Result<HatchAnswer> garden_hatch(OpenGarden& garden, const HatchQuestion& question, std::optional<Instant> at, Instant now);

/// The same by a station's file: weather is known up to the day before `at` (without it, to the file's end) and goes on as in past years.
struct StationHatchQuestion {
  HatchQuestion what;
  std::string weather;  ///< path
  std::string latitude, longitude;
  std::optional<std::string> at, units;
};
Result<HatchAnswer> station_hatch(const StationHatchQuestion& question);

/// `fresh`, `unknown`, `old`: the word in JSON and on the command line.
std::string_view word_for(phenology::Age age);

}  // namespace leafturn::app
