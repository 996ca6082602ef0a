#pragma once
/// True gardens: invented gardens whose every insect is known, the outside world against which forecasts and decisions are scored.
/// Three structurally different forms (docs/true-gardens.md). Nothing here knows the program: no code, header or parameter is shared.
///
/// A garden is a value: copy it to fork the future. Days count from 0 = 1 January of the garden's year; a season runs from `first_day`
/// (1 April) to `last_day` (31 October). `today()` is the morning of a day: people look and act first, then `advance_day()` lets nature run
/// through it. Every random draw is a function of (seed, day, bed, who …), so that whatever is done in it, a garden meets the same
/// weather, the same arrivals and, insect by insect, the same luck.
///
///     auto garden = gardens::make({gardens::Kind::walkers, 7});
///     while (garden.today() < 160) garden.advance_day(gardens::People::record);   // scouts count, the grower acts
///     gardens::write_import(garden, garden.today(), "folder");                    // what is known this morning
///     const int later = gardens::future_count(garden, 7, 0, "imported-cabbageworm", "larva", 20, 0);

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace leafturn::gardens {

enum class Kind { walkers, pulses, patches };
std::string_view name_of(Kind kind);

struct Spec {
  Kind kind = Kind::walkers;
  std::uint64_t seed = 1;
};

constexpr int first_day = 90;  ///< 1 April (31 March in a leap year)
constexpr int last_day = 303;  ///< the last day that can be advanced through

/// What is known of the garden on a day: exactly the rows of the import folder (docs/garden-files.md).
struct History {
  struct Bed {
    std::string bed;
    double x_m, y_m, width_m, length_m;
  };
  struct Planting {
    std::string planting;
    int bed;  ///< index into beds
    std::string crop;
    int plants;
    int set_out, first_harvest, last_harvest;  ///< days; the harvest as planned
    int removed;                               ///< day, -1 while it stands
  };
  struct Count {
    int day, minute;  ///< minute of the day, on the garden's clock
    int bed;
    std::string pest, stage;
    int plants, count;
    std::string by;
  };
  struct Action {
    int day, minute;
    int bed;
    std::string action, product, rate, detail;
  };
  struct WeatherDay {
    int year, day;  ///< day of that year, from 0
    double tmin_c, tmax_c, rain_mm;
  };
  struct ForecastDay {
    int day;
    double tmin_c, tmax_c;
  };
  std::string name, zone, jurisdiction;
  double latitude, longitude, elevation_m;
  int year;   ///< of days in beds, plantings, counts, actions, forecast
  int as_of;  ///< the morning on which this is known
  std::vector<Bed> beds;
  std::vector<Planting> plantings;
  std::vector<Count> counts;
  std::vector<Action> actions;
  std::vector<WeatherDay> station;      ///< this year until yesterday, as the station (not the garden) had it
  std::vector<WeatherDay> past_years;   ///< whole years before
  std::vector<ForecastDay> forecast;    ///< today and the six days after, wrong by more the farther ahead
  std::vector<std::string> cards;       ///< TOML, one per product
  std::vector<std::string> card_files;  ///< their file names
};

/// What a bed has given and lost until now. Sums over its plantings.
struct BedLedger {
  double potential_kg = 0.0;  ///< due for picking until today, were there no pests and no waiting
  double picked_kg = 0.0;     ///< fit for sale
  double lost_kg = 0.0;       ///< to pests: less growth, rejects, contaminated
  double waited_kg = 0.0;     ///< spoiled while a spray's pre-harvest time ran
  double forgone_kg = 0.0;    ///< what a planting pulled early would still have given
  double value = 0.0;         ///< of the bed's whole season without pests, invented money
  double lost_value = 0.0;    ///< of lost + waited + forgone
  double hours = 0.0;         ///< counting and handling
  int sprays = 0;
};

/// What became of a pest in the whole garden: alive = born + arrived - died - left. Nobody appears from nothing.
struct Tally {
  std::int64_t born = 0, arrived = 0, died = 0, left = 0, alive = 0;
};

/// A product of the garden's shelf; its label card is in History::cards.
struct Product {
  std::string product, active;
  int pre_harvest_days, interval_days, reentry_hours;
  std::string rate;  ///< what a careful person uses; within the card's
};
const std::vector<Product>& products();

enum class People { none, record };  ///< record: the garden's own scouts and grower do their rounds and write them down
enum class Debris { removed, left };

struct State;  // state.hpp

class Garden {
 public:
  explicit Garden(Spec spec);
  Garden(const Garden&);
  Garden& operator=(const Garden&);
  Garden(Garden&&) noexcept;
  Garden& operator=(Garden&&) noexcept;
  ~Garden();

  Spec spec() const;
  int today() const;
  int year() const;
  bool over() const { return today() > last_day; }
  std::string date(int day) const;  ///< ISO, of the garden's year

  int beds() const;
  std::vector<std::string> pests() const;                             ///< as written in counts: EPPO code or dossier name
  std::vector<std::string> stage_words(std::string_view pest) const;  ///< those this garden's people count
  int planting_in(int bed) const;                                     ///< index into plantings today, -1 when bare
  int plants_in(int bed) const;                                       ///< standing today
  bool is_host(int bed, std::string_view pest) const;                 ///< what stands there today carries the pest
  bool covered(int bed) const;

  /// Real individuals in a bed this morning. `stage` is a word (egg, larva, nymph, pupa, adult, feeding = larva + nymph + adult above
  /// ground, any); `egg-mass` counts masses.
  std::int64_t truth(int bed, std::string_view pest, std::string_view stage) const;
  /// The same on each plant.
  std::vector<int> truth_on_plants(int bed, std::string_view pest, std::string_view stage) const;
  /// The chance with which a person detects an individual (egg-mass and eggs in masses: a mass). Small stages are missed more: × 0.5.
  double detection(int person, std::string_view pest, std::string_view stage) const;
  /// Daily mean air temperature felt by the garden, and degree-days (hourly) above a base since 1 January, until this morning.
  double degree_days(double base_c) const;

  /// What a person (0 or 1) finds this morning on `plants` plants taken at random, not written down. The plants of a visit are the same
  /// for all pests and stages. 0 where nothing stands; fewer plants where fewer stand.
  int look(int bed, std::string_view pest, std::string_view stage, int plants, int person) const;
  /// The same, written into the history, and its time taken (0.25 minute a plant and stage, 2 minutes a bed and day).
  int count(int bed, std::string_view pest, std::string_view stage, int plants, int person);

  /// Actions take place this morning, are written down, cost hours. They do nothing where nothing stands.
  void hand_pick(int bed);   ///< every plant, what is found of larvae, nymphs, adults
  void crush_eggs(int bed);  ///< every plant, the masses or eggs found
  void spray(int bed, std::string_view product);
  void cover(int bed);
  void uncover(int bed);
  void pull(int bed, Debris debris);

  /// Today, through the night, to the next morning.
  void advance_day(People people = People::none);
  void run_until(int day, People people = People::none);

  BedLedger ledger(int bed) const;
  BedLedger totals() const;
  Tally tally(std::string_view pest) const;
  double enemies(int bed) const;  ///< form patches: predators per plant; others: the level of generalists, 1 = undisturbed

  History history(int as_of_day) const;

 private:
  std::unique_ptr<State> state_;
};

Garden make(Spec spec);

/// What `garden`, left to nature (and, with People::record, to its own people), would show `lead` days from today. The garden is copied.
int future_count(const Garden& garden, int lead, int bed, std::string_view pest, std::string_view stage, int plants, int person,
                 People people = People::record);

/// A count to be taken.
struct Ask {
  int bed;
  std::string pest, stage;
  int plants, person;
};
/// The same for many asks and leads (rising, days) at the price of one walk through the days: [lead][ask].
std::vector<std::vector<int>> future_counts(const Garden& garden, const std::vector<int>& leads, const std::vector<Ask>& asks,
                                            People people = People::record);

/// The import folder as known on the morning of a day: garden.toml, beds.csv, plantings.csv, counts.csv, actions.csv, weather/*.csv,
/// cards/*.toml. False when a file can't be written.
bool write_import(const Garden& garden, int as_of_day, const std::string& folder);

}  // namespace leafturn::gardens
