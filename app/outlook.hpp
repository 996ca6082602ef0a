#pragma once
/// How many of each pest there are in each bed, and how many to expect: the population model's answer, whether or not the advice rests on
/// it.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/day_cache.hpp"
#include "app/open_garden.hpp"
#include "app/population.hpp"
#include "core/decision/outlook.hpp"
#include "io/asks_csv.hpp"

namespace leafturn::app {

/// Days ahead that may be asked about.
inline constexpr int most_days_ahead = 30;
inline constexpr int usual_days_ahead = 21;

struct OutlookQuestion {
  std::optional<Instant> at;
  int days = usual_days_ahead;      ///< 1 to most_days_ahead
  std::optional<std::string> asks;  ///< path of a file of counts not yet taken (io/asks_csv)
};

/// Individuals per plant of one group of stages.
struct GroupNumbers {
  pest::StageGroup group = pest::StageGroup::egg;
  decision::Spread per_plant;
};

struct OutlookDay {
  Date date;
  std::vector<GroupNumbers> groups;         ///< in order of life; empty when no host stands
  std::optional<decision::Spread> counted;  ///< what the threshold (or, without one, feeding) counts, per plant
  std::optional<double> p_over;             ///< chance of being past the threshold; nothing without one per plant
};

/// A count that the numbers rest on.
struct Taken {
  Date on;
  std::string stage;                      ///< as counted, a word of the catalogue: `stage.…`
  std::optional<pest::StageGroup> group;  ///< nothing when it takes in stages of several
  int plants = 0, count = 0;
  double in_one = 1.0;            ///< individuals in one of what was counted
  double per_plant = 0.0;         ///< individuals seen
  std::optional<double> counted;  ///< the same in what the threshold counts, when it takes in all of these stages
};

struct PestInBed {
  std::size_t pest = 0;  ///< in OutlookAnswer::pests
  std::size_t bed = 0;   ///< of the world
  std::string crop;      ///< EPPO code of the host
  const pest::Threshold* threshold = nullptr;
  decision::Target target;
  int counts = 0;                ///< of it, here, this season
  std::vector<Taken> taken;      ///< those, by time
  std::vector<OutlookDay> days;  ///< from the day asked about on; numbers are of noon, or of the first noon after the last count
  std::array<population::Learned, population::unknown_count> learned{};
  std::array<double, 3> movement{};  ///< shares of the three ways of moving
};

struct OutlookBed {
  std::string bed;
  std::optional<std::string> planting, crop;  ///< of the first planting that stands there
  std::vector<PestInBed> pests;               ///< those counted in the garden this season that have a host here
};

struct OutlookPest {
  const pest::Dossier* dossier = nullptr;
  int counts = 0;  ///< in the whole garden this season; 0 = all that is said of it is what is believed before any count
  decision::Gate gate;
  std::vector<Reason> assumed;   ///< what no source gave, with the value taken
  std::vector<Reason> left_out;  ///< counts and work that could not be used
  decision::Basis basis() const { return gate.passed ? decision::Basis::population : decision::Basis::timing; }
};

/// A pest of which nobody counted anything this season that can be used, with the beds in which it has a host.
struct NotCounted {
  const pest::Dossier* dossier = nullptr;
  std::vector<std::string> beds;
  std::vector<Reason> left_out;  ///< counts that could not be used
};

struct Answered {
  io::Ask ask;
  std::size_t pest = 0;  ///< in OutlookAnswer::pests
  int counts = 0;        ///< of it, in this bed, this season
  population::CountMixture expected;
};

struct OutlookAnswer {
  Instant at;
  Date day;
  int days = usual_days_ahead;
  garden::Garden garden;
  Zone zone;
  garden::Units units = garden::Units::metric;
  decision::Future future = decision::Future::last_fortnight;
  std::optional<Date> forecast_last;
  decision::WeatherSaid weather;
  std::optional<Reason> no_numbers;  ///< `outlook.no_place`, `outlook.no_weather`: then `pests` is empty and `beds` have none
  std::vector<OutlookBed> beds;      ///< as laid
  std::vector<OutlookPest> pests;    ///< those run: counted this season, or asked about
  std::vector<NotCounted> not_counted;
  bool asked = false;             ///< a file of asks was given
  std::vector<Answered> asks;     ///< in the file's order
  std::vector<Reason> ask_notes;  ///< columns of the file that mean nothing
};

/// Errors: the garden's and the weather's; of the asks file those of io/asks_csv and, with line and column, `garden.no_such_bed`,
/// `asks.past` (before the time asked about), `asks.too_far`, `asks.no_host`, `asks.too_many_plants`, `asks.no_numbers`. Nothing is
/// answered unless every row can be.
Result<OutlookAnswer> outlook(OpenGarden& garden, const OutlookQuestion& question, Instant now);

/// `days` as typed; usual_days_ahead when nothing was. `quantity.whole_number` outside 1 to most_days_ahead; `field` names it.
Result<int> parse_days_ahead(const std::optional<std::string>& text, const std::string& field);

/// Outlooks already made, without asks: the same while no event has been appended and the day, or the time given, is the same.
class OutlookCache {
 public:
  Result<std::shared_ptr<const OutlookAnswer>> get(OpenGarden& garden, std::optional<Instant> at, int days, Instant now);

 private:
  DayCache<int, OutlookAnswer> kept_{8};
};

}  // namespace leafturn::app
