#pragma once
/// What questions about one day of a garden need of its weather: files read, futures made, calendars computed. It stays the same while
/// people count and pick, and making it is most of the work of a brief.

#include <list>
#include <mutex>
#include <string>

#include "app/open_garden.hpp"
#include "core/decision/day_calendars.hpp"

namespace leafturn::app {

/// The weather of a garden as known on a day, with the calendars computed in it so far.
struct DayKnown {
  decision::WeatherKnown weather;
  decision::DayCalendars calendars;
};

/// Safe to share between threads: each takes a copy, which shares what is in it.
class DayShelf {
 public:
  explicit DayShelf(std::size_t most = 4) : most_{most} {}

  /// What is known of a garden's weather on a day. Errors: those of weather_of.
  Result<DayKnown> take(OpenGarden& garden, const garden::Garden& state, Date day);
  /// Keeps what was computed meanwhile, in place of what was there.
  void put(const garden::Garden& state, Date day, const DayKnown& known);

 private:
  struct Kept {
    std::string key;
    DayKnown known;
  };
  std::list<Kept>::iterator find(const std::string& key);

  std::size_t most_;
  std::mutex mutex_;  ///< guards what follows
  std::list<Kept> kept_;
};

}  // namespace leafturn::app
