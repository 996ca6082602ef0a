#pragma once
/// A garden's weather as people look at it: what was recorded, how it goes on, and what is wrong with it.

#include <optional>
#include <string>
#include <vector>

#include "app/calendar.hpp"
#include "core/weather/quality.hpp"

namespace leafturn::app {

struct WeatherFileView {
  std::string name;
  std::optional<Date> first, last, issued;
  int days = 0;  ///< with both extremes
  std::vector<weather::Finding> findings;
};

/// One day to come, over the futures: the middle, and all but a tenth at either side.
struct SpreadDay {
  Temperature low, mid, high;
};
struct FutureDay {
  Date date;
  bool told = false;  ///< by the forecast
  SpreadDay min, max;
};

struct UsualDay {
  Date date;
  Temperature min, max;
};

struct WeatherView {
  CalendarAnswer ground;  ///< without pests
  std::optional<Date> recorded_first;
  std::size_t members = 0;
  std::vector<WeatherFileView> files;  ///< in order of adding; of a name the newest
  std::vector<weather::Gap> gaps;      ///< this year, up to yesterday, too long to fill
  std::vector<weather::Day> days;      ///< the last 30 up to yesterday; filled ones marked
  std::vector<FutureDay> future;       ///< from the day after the last recorded one, as far as the futures go, at most 21 days
  std::size_t usual_years = 0;
  std::vector<UsualDay> usual;  ///< for all of these days; empty without three whole past years
  std::vector<Reason> says;     ///< what a person should know or do: `weather_view.…`
};

Result<WeatherView> weather_view(OpenGarden& garden, std::optional<Instant> at, Instant now);

}  // namespace leafturn::app
