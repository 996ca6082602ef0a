#pragma once
/// One pest in one bed: its calendar, its last counts carried on, its threshold.

#include "core/decision/carry.hpp"
#include "core/decision/context.hpp"

namespace leafturn::decision {

struct OutlookParts {
  PestOutlook outlook;
  std::vector<CountSeen> counts;             ///< those carried
  std::vector<std::size_t> target;           ///< stages the threshold (or, without one, the feeding stages) means
  double in_one = 1.0;                       ///< individuals in one of what it counts
  double there = 1.0;                        ///< individuals there for each one counted
  std::optional<Date> hatch_from, hatch_to;  ///< when the first feeding stage of the running generation is entered
  int days_since_count = -1;                 ///< since eggs or feeding stages were last looked for; −1: never this season
};
OutlookParts outlook(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host);

/// Key of the stage most worth looking for today: of those to be seen on the plant, the one most present or next to be entered. Where only
/// flying adults are due, their eggs.
std::string stage_to_find(const Context& context, const pest::Dossier& dossier, const std::vector<std::size_t>& target);

/// What a threshold counts or, without one, the feeding stages.
struct Target {
  std::vector<std::size_t> stages;
  std::string word;     ///< as in the catalogue, `stage.…`
  double in_one = 1.0;  ///< individuals in one of what is counted: eggs in a mass
  double there = 1.0;   ///< individuals there for each one counted: thresholds are published for what a scout finds
};
Target target_for(const pest::Dossier& dossier, const pest::Threshold* threshold);
/// All that are published for a crop and count per plant, as in the dossier.
std::vector<const pest::Threshold*> thresholds_per_plant(const pest::Dossier& dossier, std::string_view crop);

/// The published threshold for a crop that counts per plant; else any other published for it; null when there is none.
const pest::Threshold* threshold_for(const pest::Dossier& dossier, std::string_view crop);

}  // namespace leafturn::decision
