#pragma once
/// What of a true garden doesn't change with what is done in it: the place, its weather, the plan of beds and plantings, and the
/// parameters drawn for this garden (docs/true-gardens.md tells the ranges).

#include <vector>

#include "tests/gardens/garden.hpp"
#include "tests/gardens/species.hpp"
#include "tests/gardens/weather.hpp"

namespace leafturn::gardens {

struct Bed {
  std::string name;
  double x_m, y_m, width_m, length_m;
  double area() const { return width_m * length_m; }
};

struct Planting {
  std::string name;
  int bed, crop, plants;
  int set_out, first, last;
  int removed;      ///< as planned; beyond last_day: stays
  bool pull_noted;  ///< its removal is written down as a pull too
};

/// One pest of one garden: its species and what was drawn.
struct PestHere {
  int kind;  ///< index into species()
  double speed, fecundity, mortality, arrivals, mobility, enemies;
  double plant_k;
  double stays_local;  ///< pulses: share of new adults that stay
  bool counts_masses;  ///< people count masses, not eggs
  double detection[2][groups];
  const Species& species() const { return gardens::species()[static_cast<std::size_t>(kind)]; }
};

struct Grower {
  bool acts;
  double threshold;  ///< feeding insects found per plant
  int favourite;     ///< product, -1: by hand
  bool covers;       ///< young beds for some weeks
};

/// A pest's day, from 24 hourly temperatures.
struct Heat {
  double develops = 0.0;  ///< share of the way from egg to adult
  double degree_days = 0.0;
  double warmth = 0.0;  ///< activity: 1 as at 25 °C
  double scorch = 0.0;  ///< share of the day within 2 °C of the upper limit or above
};

struct World {
  Spec spec;
  Site site;
  int year;
  std::vector<Bed> beds;
  std::vector<Planting> plantings;
  std::vector<PestHere> pests;
  int people, visit_every, visit_plants;
  double missed;
  Grower grower;
  std::vector<Day> real, station;
  std::vector<std::vector<Day>> past;  ///< whole years, the newest last
  std::vector<double> day_length;
  std::vector<std::vector<Heat>> heat;                     ///< [pest][day]
  std::vector<std::vector<double>> degree_days;            ///< [pest][day]: sum before that morning
  std::vector<std::vector<std::vector<double>>> pleasing;  ///< [pest][planting]: running sum of plant weights, the last = 1

  const Bed& bed(int i) const { return beds[static_cast<std::size_t>(i)]; }
  const Planting& planting(int i) const { return plantings[static_cast<std::size_t>(i)]; }
  const PestHere& pest(int i) const { return pests[static_cast<std::size_t>(i)]; }
  const Heat& heat_on(int pest, int day) const { return heat[static_cast<std::size_t>(pest)][static_cast<std::size_t>(day)]; }
  double liking(int pest, int planting) const;
  double distance_m(int a, int b) const;
  int pest_called(std::string_view key) const;  ///< -1
  double host_m2(int pest) const;               ///< area of the beds that carry its hosts at some time
};

World make_world(Spec spec);

/// Share of the way from egg to adult in a day at a constant temperature. Each form has its own shape: walkers rise in a straight line to
/// the best temperature and fall in one to the upper limit; pulses keep the best rate above it (horizontal cutoff); patches follow
/// c T (T - lower) sqrt(upper - T), equal to the line at lower + 12 °C.
double development(Kind kind, const Species& species, double temp_c);

}  // namespace leafturn::gardens
