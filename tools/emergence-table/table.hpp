#pragma once
/// The days on which published heat sums are reached at a station, year by year (docs/readings/emergence-milwaukee.md).

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/phenology/degree_days.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::emergence {

/// One published event and the sum that announces it.
struct Event {
  std::string key;     ///< column of the table: `maggot-air`
  std::string what;    ///< in words
  std::string source;  ///< with how it is known: seen, seen-2nd, memory
  double lower_c = 0.0;
  std::optional<double> cap_c;  ///< heat above it counts no more
  double sum = 0.0;             ///< °C·d
  int month = 1, day = 1;       ///< the sum starts here
  std::string start;            ///< whether the source gives the start
  bool in_soil = false;         ///< heat of soil_at_5cm, hour by hour; else of the air by the double sine
};

/// The events of the table, in its order.
std::span<const Event> events();

/// Air and, computed from it, soil at a station.
struct Station {
  weather::DailySeries daily;  ///< short gaps filled
  weather::HourlySeries soil;
};
Station station(const weather::DailySeries& recorded, const weather::Site& site);

/// The first day by whose end the sum is reached. Nothing where a day without weather lies between start and event, or the year ends first.
std::optional<Date> reached(const Event& event, const Station& station, int year);

/// One event over several years, as calendar days: days of the year are those of a year without a 29 February.
struct Summary {
  std::vector<int> years;    ///< with a date
  std::vector<int> missing;  ///< without
  double mean = 0.0;         ///< day of the year
  double sd = 0.0;           ///< of the sample, days
  int earliest_year = 0, latest_year = 0;
  int earliest = 0, latest = 0;  ///< day of the year
};
Summary summarise(const Event& event, const Station& station, int first_year, int last_year);

/// Both tables in Markdown, as they stand in the document.
std::string report(const Station& station, int first_year, int last_year);

}  // namespace leafturn::emergence
