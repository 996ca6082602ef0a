#pragma once
/// Weather to the end of the year, for calendars that look further than a brief.

#include "app/weather_known.hpp"

namespace leafturn::app {

/// As weather_known(), but each member goes on to 31 December of `today`'s year: past its own end with the same calendar days of one
/// earlier year (short gaps filled), one member for each year that has them, at most twelve. Without a single such year the members end
/// where weather_known's do.
struct YearAhead {
  decision::WeatherKnown known;
  bool whole_year = false;  ///< the members reach 31 December
};
YearAhead year_ahead(const std::vector<WeatherFile>& files, Date today);

}  // namespace leafturn::app
