#pragma once
/// What the model is told of the garden, for one pest: beds, what stood in them when, what was done, what was counted. Plain values; built
/// from a garden's events by world_of.

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/ids.hpp"
#include "core/base/result.hpp"
#include "core/garden/garden.hpp"
#include "core/pest/dossier.hpp"
#include "core/population/life.hpp"
#include "core/population/steps.hpp"

namespace leafturn::population {

/// Time in steps of three hours from the beginning of the world's first day (standard time at the site).
using StepNumber = std::int32_t;

struct BedPlace {
  std::string name;
  double x_m = 0.0, y_m = 0.0;  ///< its middle
  double area_m2 = 0.0;
};

/// A bed on one day.
struct BedDay {
  float plants = 0.0F;  ///< hosts of this pest standing; 0 = none
  float liking = 0.0F;  ///< how much the pest likes them: 1 preferred, 2/3 used, 1/3 when nothing better is there
};

/// Days back that a world may begin: what was counted before is of an earlier season.
inline constexpr int longest_season = 200;

/// Something that is done, or would be. Shares are of those present and reached, between a low and a high published figure; which of the
/// two is nearer the truth here is one of the unknowns.
struct Deed {
  enum class Kind {
    kill,   ///< hand work, water, a spray: takes `low … high` of each stage at once, and, with `half_life_days`, goes on doing so
    cover,  ///< nothing arrives or leaves, enemies neither
    uncover,
    pull,  ///< the crop goes: adults fly, old nymphs walk, of the rest `low … high` dies with the debris and the others stay on it
  };
  Kind kind = Kind::kill;
  std::size_t bed = 0;
  StepNumber at = 0;
  std::vector<float> low, high;  ///< [stage]
  double half_life_days = 0.0;   ///< of the residue on leaves; 0 = none: works on what is hit only
  double wash_off = 0.0;         ///< share of it that one washing rain takes (2.5 mm in a day or more)
  double enemies_killed = 0.0;   ///< share of the natural enemies here that it takes, while it lasts
  bool known = true;             ///< false: no source says what it does to this pest; then low = 0 and high = 1
};

/// One count: so many found of these stages on so many plants.
struct Sighting {
  std::size_t bed = 0;
  StepNumber at = 0;
  std::vector<std::size_t> stages;
  double in_one = 1.0;  ///< individuals in one of what was counted: eggs in a mass
  int plants = 0;
  int count = 0;
  Id id;
};

struct World {
  Date first;
  std::int32_t days = 0;  ///< up to the last day asked about
  std::vector<BedPlace> beds;
  std::vector<BedDay> bed_days;  ///< [day·beds + bed]
  std::vector<float> resting;    ///< [day] share of those deciding that day that go to rest
  std::vector<Deed> deeds;       ///< by time
  const BedDay& on(std::int32_t day, std::size_t bed) const { return bed_days[static_cast<std::size_t>(day) * beds.size() + bed]; }
  std::optional<std::size_t> bed(std::string_view name) const;
  StepNumber step_at(const CivilTime& standard_time) const;  ///< the nearest boundary
  Date date_of(StepNumber at) const { return first + Days{at / steps_a_day}; }
};

/// One way the weather may go: the same up to today in all.
struct Future {
  StepTable steps;
  std::vector<float> rain_mm;  ///< [day] from the world's first day; may be empty
};

/// What a deed does to this pest, from its dossier and the actives' residues. `means` as in pest::Efficacy, or the actives of a product.
struct WorldRequest {
  const garden::Garden* garden = nullptr;
  const pest::Library* library = nullptr;
  const Life* life = nullptr;
  std::map<Id, std::vector<std::string>> actives;  ///< ISO names in the product of each application made, by the application's event
  weather::Site site;
  std::int32_t standard_offset = 0;  ///< seconds from UTC of the site's standard time
  Date today;
  std::int32_t days_ahead = 21;
};

struct WorldFound {
  World world;
  std::vector<Sighting> sightings;  ///< by time; counts of other pests and words are left out
  std::vector<Reason> left_out;     ///< counts and deeds that can't be used, each with why
};

/// The world begins when the first host was set out this season (or 45 days before the first count where nobody said), at most 200 days
/// ago. Left out, each with a reason: counts in a bed without the pest's host at that time (`population.count_without_host`), counts of
/// more plants than stood there, counts whose word means no stage.
WorldFound world_of(const WorldRequest& request);

/// What one kind of work or spray would do to this pest here: for options not yet taken. Nothing where no source is cited.
std::optional<Deed> deed_for(const Life& life, const pest::Library& library, Deed::Kind kind, const std::string& means, bool is_active);

}  // namespace leafturn::population
