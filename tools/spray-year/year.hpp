#pragma once
/// A year of hourly readings held against the spray limits: how many hours of each month are open to an oil, a soap and a contact spray,
/// and what closes the others. Behind docs/readings/spray-hours-new-york.md.

#include <map>
#include <string>

#include "core/spray/windows.hpp"

namespace leafturn::spray_year {

struct MonthOf {
  int hours = 0, open = 0, care = 0, unknown = 0;
  int days_with_two = 0;                ///< days with a window of two hours or more
  std::map<spray::Limit, int> against;  ///< hours in which the limit stops or warns
  std::map<spray::Limit, int> alone;    ///< hours in which only this one does
};

/// By month, 1 … 12, on the clock `offset_seconds` from UTC. Nothing in flower and nothing wilted: what a person would answer on a good
/// day.
std::map<int, MonthOf> year_of(const weather::HourlyReadings& readings, const weather::Site& site, std::int32_t offset_seconds,
                               const spray::SprayLimits& limits);
/// The tables as Markdown.
std::string report(const weather::HourlyReadings& readings, const weather::Site& site, std::int32_t offset_seconds);

}  // namespace leafturn::spray_year
