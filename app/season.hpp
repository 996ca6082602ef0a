#pragma once
/// The calendar of a pest in a year of one station's weather: what was, or what is to come.

#include <optional>
#include <string>
#include <vector>

#include "app/year_ahead.hpp"
#include "core/base/result.hpp"
#include "core/phenology/calendar.hpp"
#include "core/phenology/compare.hpp"

namespace leafturn::app {

/// As typed.
struct SeasonQuestion {
  std::string pest;     ///< dossier's name or EPPO code, or a dossier file ending in .toml; `all` for seasons()
  std::string weather;  ///< path
  std::string latitude, longitude;
  std::optional<std::string> year;    ///< needed without `at`
  std::optional<std::string> at;      ///< a day: weather is known up to the day before, and goes on in several futures
  std::optional<std::string> biofix;  ///< a day
  std::optional<std::string> units;   ///< of a file that doesn't say
  bool compare = false;               ///< with other years of the same file
  std::optional<std::string> set;     ///< a parameter set of the dossier, in place of the rates in use
};

/// This year against the others of the same station.
struct SeasonComparison {
  std::optional<phenology::HeatComparison> heat;  ///< absent where there is no lower threshold to count from
  std::vector<phenology::KeyDate> dates;
  std::size_t years = 0;  ///< earlier years whose season was computed
};

struct SeasonAnswer {
  pest::Dossier pest;
  int year = 0;
  std::optional<Date> at;
  std::int32_t offset_seconds = 0;   ///< of the local standard time that the answer's clock times are in
  std::optional<Date> weather_last;  ///< last day with recorded weather inside the year
  phenology::Calendar calendar;
  std::vector<phenology::NextEvent> next;  ///< from `at` on; empty without it
  std::optional<SeasonComparison> comparison;
  std::vector<Reason> notes;
};

/// Errors: those of pest, file, quantities; `season.year_outside` when the file holds no day of the year; `season.biofix_year` for a biofix
/// in another year; `season.year_or_at` without a year and a day.
Result<SeasonAnswer> season(const SeasonQuestion& question);

/// The same for every pest of the library, over the same hours of weather. `pest` is not read.
Result<std::vector<SeasonAnswer>> seasons(const SeasonQuestion& question);

/// Seconds from UTC to the standard time of the nearest whole-hour meridian, as weather::hourly keeps it.
std::int32_t standard_offset(Angle longitude);

/// The pest's heat and middle dates of `year` against the years before it in `recorded` (up to `until`).
SeasonComparison compare_with_past(const pest::Dossier& pest, const weather::DailySeries& recorded, const weather::Site& site,
                                   const phenology::Calendar& calendar, int year, Date until);

}  // namespace leafturn::app
