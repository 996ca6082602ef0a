#pragma once
/// The bugs' calendar of a garden: every pest with a host in it, or one of them whole.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/day_cache.hpp"
#include "app/open_garden.hpp"
#include "app/season.hpp"
#include "core/decision/timing.hpp"
#include "core/phenology/winter.hpp"

namespace leafturn::app {

/// Share of a generation's unit in a stage at the end of the last recorded day, the resting left out.
struct StandNow {
  int generation = 1;
  std::size_t stage = 0;
  double share = 0.0;
};

/// What comes next and the heat until then, above the threshold the pest's heat is counted from.
struct ComingEvent {
  phenology::NextEvent event;
  std::optional<DegreeDays> heat_left;  ///< mean over the futures that reach it
};

struct PestCalendar {
  const pest::Dossier* pest = nullptr;
  std::vector<std::string> crops;  ///< hosts standing in the garden, EPPO codes
  std::optional<Date> found;       ///< first find of the year
  bool migrant = false;            ///< comes anew each year at this latitude
  std::optional<phenology::WinterCold> winter_kill;
  phenology::Calendar calendar;
  std::vector<StandNow> now;
  std::vector<ComingEvent> next;
  std::optional<SeasonComparison> comparison;  ///< only when one pest was asked for
};

struct CalendarAnswer {
  Instant at;
  Date day;
  garden::Garden garden;
  Zone zone;
  garden::Units units = garden::Units::metric;
  decision::Future future = decision::Future::last_fortnight;
  std::optional<Date> forecast_last;
  std::optional<Date> weather_last;  ///< last recorded day
  bool whole_year = false;           ///< the futures reach 31 December
  std::vector<PestCalendar> pests;   ///< in the library's order
};

/// Every pest with a host standing in the garden. Without a place or weather a pest's calendar says why.
Result<CalendarAnswer> garden_calendar(OpenGarden& garden, std::optional<Instant> at, Instant now);
/// What every answer from a garden's weather rests on.
struct GardenAir {
  CalendarAnswer answer;  ///< without pests
  decision::WeatherKnown weather;
  decision::Air air;
};
Result<GardenAir> garden_air(OpenGarden& garden, std::optional<Instant> at, Instant now);

/// `app.no_such_pest` names those there are.
Result<const pest::Dossier*> pest_of(const pest::Library& library, const std::string& name);

/// One pest by dossier name or EPPO code, host or not, with the comparison: `app.no_such_pest`.
Result<CalendarAnswer> pest_calendar(OpenGarden& garden, const std::string& pest, std::optional<Instant> at, Instant now);

/// Calendars already made, for pages that ask again: the same while no event has been appended and the day, or the time given, is the same.
class CalendarCache {
 public:
  /// `pest` empty: the garden's.
  Result<std::shared_ptr<const CalendarAnswer>> get(OpenGarden& garden, const std::string& pest, std::optional<Instant> at, Instant now);

 private:
  DayCache<std::string, CalendarAnswer> kept_{24};
};

}  // namespace leafturn::app
