#pragma once
/// Invented weather of a temperate site: annual cycle, AR(1) daily anomalies, wet and dry spells, a diurnal curve through the day's low
/// and high; and the station beside the garden, which reads a little otherwise. Sizes from memory of temperate stations.

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace leafturn::gardens {

/// Days of a civil year, and the ISO date of a day of it (0 = 1 January).
int days_in(int year);
std::string iso_date(int year, int day);

struct Site {
  double latitude = 42.0, longitude = -89.0, elevation_m = 250.0;
  std::string zone;
  double mean_c = 10.0, swing_c = 12.5, range_c = 11.0;
};

struct Day {
  double low_c = 0.0, high_c = 0.0, rain_mm = 0.0;
};

/// A whole year of a site, Day for each of its days; `year` enters the draws.
std::vector<Day> weather_of(const Site& site, std::uint64_t seed, int year);

using Hours = std::array<double, 24>;
/// The low at 5 h, the high at 15 h, then down to the next day's low.
Hours hours_of(const Day& before, const Day& today, const Day& after);

/// Hours between sunrise and sunset (sun's centre at -0.83°); error below 0.1 h between 38 and 48° N.
double day_length_h(double latitude, int day);

/// The days from `from` on, as foreseen on its morning: the truth drawn towards the season's mean, with an error of sd 1.0 + 0.4 °C a day
/// ahead.
std::vector<Day> forecast_of(const Site& site, const std::vector<Day>& truth, std::uint64_t seed, int from, int days);

}  // namespace leafturn::gardens
