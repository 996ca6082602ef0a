#pragma once
/// The calendar of a pest in a year of one station's weather.

#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/phenology/cohort.hpp"

namespace leafturn::app {

/// As typed.
struct SeasonQuestion {
  std::string pest;
  std::string weather;  ///< path
  std::string latitude, longitude;
  std::string year;
  std::optional<std::string> biofix;  ///< a day
  std::optional<std::string> units;   ///< of a file that doesn't say
};

struct SeasonAnswer {
  pest::Dossier pest;
  int year = 0;
  std::int32_t offset_seconds = 0;   ///< of the local standard time that the answer's clock times are in
  std::optional<Date> weather_last;  ///< last day with weather inside the year
  phenology::Season season;
  std::vector<Reason> notes;
};

/// Errors: those of pest, file, quantities; `season.year_outside` when the file holds no day of the year; `season.biofix_year` for a biofix
/// in another year.
Result<SeasonAnswer> season(const SeasonQuestion& question);

}  // namespace leafturn::app
