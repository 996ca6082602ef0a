#include "core/decision/day_calendars.hpp"

namespace leafturn::decision {
namespace {

PestTiming computed(const pest::Dossier& dossier, const Air& air, std::optional<Date> found, const WeatherKnown& known, int memory) {
  return timing(dossier, air, found, phenology::winter_kill(dossier, known.recorded, air.today), memory);
}

}  // namespace

const Air& DayCalendars::air(const WeatherKnown& known, const weather::Site& site, Date today) {
  if (!air_) air_ = std::make_shared<const Air>(air_of(known, site, today));
  return *air_;
}

const PestTiming& DayCalendars::timing(const pest::Dossier& dossier, const Air& air, std::optional<Date> found, const WeatherKnown& known,
                                       int memory) {
  auto& kept = timings_[Key{dossier.id, found, memory, air.members.size()}];
  if (!kept) kept = std::make_shared<const PestTiming>(computed(dossier, air, found, known, memory));
  return *kept;
}

PestTiming timing_in(const BriefRequest& request, const pest::Dossier& dossier, const Air& air, int memory) {
  const auto found = first_find(request, dossier, air.today.year());
  if (request.calendars != nullptr) return request.calendars->timing(dossier, air, found, request.weather, memory);
  return computed(dossier, air, found, request.weather, memory);
}

AgedBefore* aged_in(const BriefRequest& request) { return request.calendars != nullptr ? &request.calendars->aged() : nullptr; }

Air air_in(const BriefRequest& request, const weather::Site& site, Date today) {
  return request.calendars != nullptr ? request.calendars->air(request.weather, site, today) : air_of(request.weather, site, today);
}

}  // namespace leafturn::decision
