#include "app/day_shelf.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "app/materials.hpp"
#include "app/weather_known.hpp"

namespace leafturn::app {
namespace {

/// Everything that the weather of a day and its calendars follow from, besides each pest's first find.
std::string key_of(const garden::Garden& state, Date day) {
  std::string key = day.iso();
  const auto add = [&](const std::string& part) { key += '\x1f' + part; };
  if (const auto& place = state.described) {
    add(fmt::format("{}", place->latitude.degrees()));
    add(fmt::format("{}", place->longitude.degrees()));
    add(fmt::format("{}", place->elevation.metres()));
    add(place->units == garden::Units::us ? "us" : "metric");
  }
  for (const auto& added : state.weather) {
    add(added.what.name);
    add(added.what.text.hex());
    add(added.what.station);
    add(added.what.units ? std::to_string(static_cast<int>(*added.what.units)) : "");
  }
  return key;
}

}  // namespace

std::list<DayShelf::Kept>::iterator DayShelf::find(const std::string& key) {
  return std::find_if(kept_.begin(), kept_.end(), [&](const Kept& kept) { return kept.key == key; });
}

Result<DayKnown> DayShelf::take(OpenGarden& garden, const garden::Garden& state, Date day) {
  const std::string key = key_of(state, day);
  {
    const std::lock_guard lock(mutex_);
    if (const auto found = find(key); found != kept_.end()) {
      kept_.splice(kept_.begin(), kept_, found);
      return found->known;
    }
  }
  const auto files = weather_of(garden, state);
  if (!files) return fail(files.error());
  return DayKnown{weather_known(*files, day), {}};
}

void DayShelf::put(const garden::Garden& state, Date day, const DayKnown& known) {
  std::string key = key_of(state, day);
  const std::lock_guard lock(mutex_);
  if (const auto found = find(key); found != kept_.end()) {
    found->known = known;
    return;
  }
  kept_.push_front({std::move(key), known});
  if (kept_.size() > most_) kept_.pop_back();
}

}  // namespace leafturn::app
