#pragma once
/// A garden's counts through the population model: one filter a pest, and whether it has earned its seat.

#include <memory>
#include <optional>
#include <vector>

#include "app/workers.hpp"
#include "core/decision/numbers.hpp"
#include "core/decision/timing.hpp"
#include "core/population/life.hpp"

namespace leafturn::app {

/// What every filter of a garden shares. Points into `request`'s garden, library and cards, which must outlive it.
struct PopulationGround {
  decision::BriefRequest request;
  Date today;
  weather::Site site;
  std::int32_t standard_offset = 0;
  decision::Air air;  ///< empty without a place or weather: then nothing can be run
  std::map<Id, std::vector<std::string>> actives;
};
PopulationGround population_ground(const decision::BriefRequest& request);

/// One pest through the season so far.
struct PestRun {
  const pest::Dossier* dossier = nullptr;
  std::unique_ptr<const population::Life> life;
  population::World world;
  std::vector<population::Sighting> sightings;
  std::vector<Reason> left_out;  ///< counts and work that could not be used, each with why
  std::vector<int> counts;       ///< [bed] used
  std::optional<population::Filter> filter;
  decision::Gate gate;
};

/// How often each filter is run, up to thirty beds; in larger gardens fewer, so that time and memory grow no further than to 256 members.
inline constexpr std::size_t usual_members = 1024;
std::size_t members_for(std::size_t beds);

/// The world of the season so far and what was counted in it, without a filter yet. `days_ahead` days past today can be asked about.
PestRun prepare_pest(const PopulationGround& ground, const pest::Dossier& dossier, int days_ahead);
/// The filter over all counts, and (`gated`) the gate.
void run_prepared(const PopulationGround& ground, PestRun& run, WorkerPool& workers, std::size_t members, bool gated = true);
/// Both in one.
PestRun run_pest(const PopulationGround& ground, const pest::Dossier& dossier, int days_ahead, WorkerPool& workers,
                 std::size_t members = usual_members, bool gated = true);

/// For a brief: only pests of which enough counts can be held against the one before to pass the gate at all; the others cost nothing.
decision::GardenNumbers numbers_for_brief(const decision::BriefRequest& request);

}  // namespace leafturn::app
