#pragma once
/// For one bed: doing nothing beside everything that may be done, pest by pest, over the population model's members.

#include <optional>
#include <string>
#include <vector>

#include "app/open_garden.hpp"
#include "app/population.hpp"
#include "core/decision/advice.hpp"
#include "core/decision/compare.hpp"

namespace leafturn::app {

struct BedQuestion {
  std::string bed;
  std::optional<std::string> pest;  ///< dossier name or EPPO code; absent: every pest counted in the bed this season
  std::optional<Instant> at;
};

/// Days after today that options are followed.
inline constexpr int compare_days = 14;

struct PestCompared {
  const pest::Dossier* dossier = nullptr;
  std::string crop;
  decision::Gate gate;
  decision::LossBasis basis;
  decision::Acts acts;
  decision::Comparison comparison;  ///< points into `acts`
  decision::Advice by_timing;       ///< what holds until the gate is passed
  std::vector<Reason> assumed;      ///< what no source gave
  decision::Basis rests_on() const { return gate.passed ? decision::Basis::population : decision::Basis::timing; }
};

/// What every answer about a bed begins with.
struct BedAsked {
  Instant at;
  Date day;
  std::string bed, garden_name;
  std::optional<std::string> marked;
  std::optional<std::string> planting, crop;
  Zone zone;
  garden::Units units = garden::Units::metric;
  std::optional<Reason> nothing;  ///< why there is nothing to say: `compare.no_pest`, `outlook.no_weather`, `outlook.no_place`
};

struct CompareAnswer : BedAsked {
  std::vector<PestCompared> pests;
};

/// Errors: open_garden's and weather's, `garden.no_such_bed`, `garden.bed_empty`, `app.no_such_pest`, `compare.no_host` (a pest that
/// doesn't live on what stands there).
Result<CompareAnswer> compare(OpenGarden& garden, const BedQuestion& question, Instant now);

/// What every question about a bed begins with: the garden at the time, its bed, the pests meant. Heavy: kept where it was made.
struct BedGround {
  garden::Garden garden;
  decision::BriefRequest request;
  PopulationGround population;
  std::optional<decision::Context> context;
  decision::BedContext bed;
  std::vector<const pest::Dossier*> pests;  ///< with a host in the bed, counted in it this season or asked for
  BedGround() = default;
  BedGround(const BedGround&) = delete;
  BedGround& operator=(const BedGround&) = delete;
};
/// Fills `ground`. Errors as compare's.
Status bed_ground(OpenGarden& garden, const BedQuestion& question, Instant now, int days_ahead, BedGround& ground);
/// With `nothing` where no pest can be run: then `ground.pests` is empty or there is no weather to run it in.
BedAsked asked_of(const BedGround& ground);
/// Of the thresholds that fit the crop and its age the one likeliest to be passed within `compare_days` when nothing is done; null if none.
const pest::Threshold* pressing_threshold(const pest::Dossier& dossier, const garden::Planting& host, Date today,
                                          const population::Paths& paths, const population::World& world, std::size_t bed, double k);
/// What may be done in the bed against a pest that the filter holds.
decision::ActsRequest acts_request(const PopulationGround& population, const decision::BedContext& bed, const PestRun& run,
                                   const garden::Planting& host, const population::Paths& undisturbed);
/// One pest that has a host in the bed, when its season has been run `compare_days` + 1 days ahead.
PestCompared compare_pest(const PopulationGround& population, const decision::BedContext& bed, const PestRun& run);

}  // namespace leafturn::app
