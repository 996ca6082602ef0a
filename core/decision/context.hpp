#pragma once
/// What the pieces of a brief share: the request, the air, each pest's calendar, and one bed at a time.

#include <map>
#include <string>
#include <vector>

#include "core/decision/clearance.hpp"
#include "core/decision/timing.hpp"

namespace leafturn::decision {

struct Context {
  const BriefRequest* request = nullptr;
  Date today;
  Air air;
  std::map<std::string, PestTiming> timings;  ///< by dossier id, of pests with a host standing in the garden
};

/// Everything but the beds: the air where the garden has a place, and the calendar of each pest with a host standing.
Context context_of(const BriefRequest& request);

struct BedContext {
  const Context* all = nullptr;
  std::string bed;
  std::vector<const garden::Planting*> standing;
  BedClearance clearance;

  const garden::Planting& main() const { return *standing.front(); }
};

/// What stands in a bed at the request's time, and when it may be picked and entered.
BedContext bed_context(const Context& context, const std::string& bed);

/// How much a pest likes a crop: 3 preferred … 1 when nothing better is there, 0 not a host.
int preference(const pest::Dossier& dossier, std::string_view crop);
/// Of the plantings in a bed, the one the pest likes best; null when none is a host.
const garden::Planting* best_host(const BedContext& bed, const pest::Dossier& dossier);
/// Plants in a planting, 0 when nobody said.
int plants_in(const garden::Planting& planting);

Term pest_term(const pest::Dossier& dossier);
Term crop_term(const garden::Planting& planting);
Term stage_term(std::string_view key_or_group);
/// A density with no more digits than it deserves: 0.07, 0.4, 1.4, 12.
Number per_plant(double density);
/// A published figure with the digits it was published with: 0.3, 1, 4.5.
Number as_published(double value);

}  // namespace leafturn::decision
