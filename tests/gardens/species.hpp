#pragma once
/// What the true gardens hold of pests and crops. Published or general entomology; 'memory' where nothing was read. None of it is taken
/// from the program's dossiers.

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

namespace leafturn::gardens {

/// What people call a stage.
enum class Group : std::uint8_t { egg, larva, nymph, pupa, adult };
constexpr int groups = 5;
std::string_view word_of(Group group);

struct Stage {
  Group group;
  double share;      ///< of the degree-days from egg (birth) to adult
  double mortality;  ///< a day, in an ordinary garden, beside the enemies that a form holds apart
  double eats_cm2;   ///< leaf eaten a day at 25 °C (sap suckers: as much as they harm)
  bool small;        ///< easily missed
  bool hidden;       ///< in the soil: neither seen nor hit
};

enum class Laying : std::uint8_t { single, masses, live };
enum class Winter : std::uint8_t { adults, pupae, away };  ///< away: comes flying every year

struct Host {
  std::string_view crop;
  double liking;  ///< 0 … 1
};

struct Species {
  std::string_view key;                               ///< as counts name it
  double lower_c = 0.0, best_c = 0.0, upper_c = 0.0;  ///< development: threshold, fastest, none
  double birth_to_adult_dd = 0.0;                     ///< degree-days above lower_c
  std::vector<Stage> stages;                          ///< without the adult
  double adult_mortality = 0.0;                       ///< a day
  double adult_eats_cm2 = 0.0;
  Laying laying = Laying::single;
  double before_laying_dd = 0.0;  ///< from adult to first egg
  double laid_per_day = 0.0;      ///< per female at 25 °C
  double lifetime_eggs = 0.0;
  double mass_size = 0.0;
  double female_share = 0.0;
  Winter winter = Winter::away;
  double spring_dd = 0.0;        ///< when half of the first comers are there, above lower_c from 1 January
  double resting_hours = 0.0;    ///< day length, shrinking, below which new adults rest and leave; 0: never
  double arrivals = 0.0;         ///< first comers per 100 m² of host in an ordinary garden and year
  double leaves_per_day = 0.0;   ///< chance of an adult to leave its bed
  double flight_m = 0.0;         ///< mean flight between beds
  double stays_in_garden = 0.0;  ///< weight of the garden against the wide world at each departure
  double plant_k = 0.0;          ///< how evenly plants please: shape of the gamma weights
  double plant_holds = 0.0;      ///< individuals per plant beyond which they crowd
  double contaminates = 0.0;     ///< chance per individual on a head or leaf at picking that the piece is refused
  std::vector<Host> hosts;
  double liking(std::string_view crop) const;
  int adult() const { return static_cast<int>(stages.size()); }
  Group group(int stage) const { return stage == adult() ? Group::adult : stages[static_cast<std::size_t>(stage)].group; }
  bool small(int stage) const { return stage != adult() && stages[static_cast<std::size_t>(stage)].small; }
  bool hidden(int stage) const { return stage != adult() && stages[static_cast<std::size_t>(stage)].hidden; }
  double eats(int stage) const { return stage == adult() ? adult_eats_cm2 : stages[static_cast<std::size_t>(stage)].eats_cm2; }
};

const std::vector<Species>& species();
const Species& species_called(std::string_view key);
int index_of(std::string_view key);  ///< -1 when there is none

enum class Part : std::uint8_t { leaf, head, fruit, tuber };  ///< what is picked

struct Crop {
  std::string_view code, name;
  Part part;
  double plants_per_m2;
  int days_to_harvest, harvest_days;
  double kg_per_plant, value_per_kg;
  double leaf_cm2;  ///< of a grown plant
  int season;       ///< 0 spring to summer, 1 late too (a second planting in July or August)
};
const std::vector<Crop>& crops();

/// Share of exposed individuals of a group that fresh residue kills in a day and a half.
double kill(std::string_view active, std::string_view pest, Group group, bool small);
/// Share of natural enemies that a spray kills, and days until half of them are back.
double kills_enemies(std::string_view active);
double enemies_return_days(std::string_view active);
double half_life_days(std::string_view active);
double washed_off(std::string_view active);  ///< share, by a rain of 2.5 mm or more

}  // namespace leafturn::gardens
