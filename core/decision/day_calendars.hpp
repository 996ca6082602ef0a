#pragma once
/// The air of one day and the calendars computed in it, kept from one answer to the next: they depend on the weather, the place, the day
/// and each pest's first find, and on nothing else that is said about a garden.

#include <cstddef>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <tuple>

#include "core/decision/carry.hpp"
#include "core/decision/timing.hpp"

namespace leafturn::decision {

/// Belongs to one weather, place and day; a copy shares what is in it. With it an answer is the same as without, only sooner. Not to be
/// used from two threads at once: each takes a copy.
class DayCalendars {
 public:
  /// As air_of().
  const Air& air(const WeatherKnown& known, const weather::Site& site, Date today);
  /// As timing() in the garden's own air, or a part of it, with that find and the winter that was recorded.
  const PestTiming& timing(const pest::Dossier& dossier, const Air& air, std::optional<Date> found, const WeatherKnown& known, int memory);

  /// Counts aged in that air.
  AgedBefore& aged() { return aged_; }

 private:
  using Key = std::tuple<std::string, std::optional<Date>, int, std::size_t>;  ///< dossier, find, memory, futures
  std::shared_ptr<const Air> air_;
  std::map<Key, std::shared_ptr<const PestTiming>> timings_;
  AgedBefore aged_;
};

/// Where the request keeps counts aged before; null when it keeps nothing.
AgedBefore* aged_in(const BriefRequest& request);
/// A pest's calendar on the day of `air` in the request's garden; from the request's calendars where it brings some.
PestTiming timing_in(const BriefRequest& request, const pest::Dossier& dossier, const Air& air, int memory = memory_days);
/// The air of the request's weather; likewise.
Air air_in(const BriefRequest& request, const weather::Site& site, Date today);

}  // namespace leafturn::decision
