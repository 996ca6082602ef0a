#pragma once
/// What was found today, gone on with: when found eggs hatch and the stages after them come.

#include "core/phenology/calendar.hpp"

namespace leafturn::phenology {

/// How far the found ones are through their stage.
enum class Age {
  fresh,    ///< just entered it
  unknown,  ///< anywhere in it, evenly: what a find of a standing population knows
  old,      ///< in its last quarter: eggs darkening, larvae about to moult
};

struct HatchRequest {
  const pest::Dossier* dossier = nullptr;
  weather::Site site;
  std::size_t stage = 0;  ///< that was found
  CivilTime found;
  Age age = Age::unknown;
  std::optional<Date> last;  ///< stop here (default: the end of the year or of the weather)
};

struct Hatch {
  std::vector<StageCalendar> stages;  ///< those after the found one, in order; shares and marks are of the found ones
  std::size_t members = 0;
  ShareOver resting;               ///< share that stops for the winter on the way
  std::vector<weather::Gap> gaps;  ///< days without weather: nobody developed, so everything after is late
};

/// The found ones through each future. Nobody dies and nobody joins; who is bound to rest by the day length stops where the dossier says
/// (those past the stage that decides are taken as not bound). A unit of 1 is placed in the stage, by substages as `age` says.
Hatch hatch(const HatchRequest& request, std::span<const weather::HourlySeries> futures);

}  // namespace leafturn::phenology
