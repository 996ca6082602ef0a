#pragma once
/// The last counts of a pest in a bed, carried along its calendar to now and the next days.

#include <optional>
#include <vector>

#include "core/decision/density.hpp"
#include "core/decision/timing.hpp"

namespace leafturn::decision {

/// A count and what it says about each stage.
struct CountSeen {
  const garden::Dated<garden::CountTaken>* count = nullptr;
  CivilTime at;
  std::vector<std::size_t> stages;  ///< stages its word means
  double each = 1.0;                ///< individuals per thing counted (eggs per mass)
  int individuals = 0;              ///< as counted, all people of that day together
  int plants = 0;
};

/// The counts still worth carrying: for each stage the latest, taken within `memory_days` of `now` and since anything that emptied the bed.
inline constexpr int memory_days = 21;
std::vector<CountSeen> latest_counts(const garden::Garden& garden, const pest::Dossier& dossier, const std::string& bed, const Zone& zone, Instant now,
                                     std::optional<Instant> not_before);

/// Densities of individuals in any of `target` at the end of each day from yesterday (index 0) to the horizon, mean over the futures.
/// What was done in the bed since a count takes its published share off (`work`).
struct WorkEffect {
  CivilTime at;
  std::vector<std::size_t> stages;
  double low = 0.0, high = 0.0;
};
std::vector<Density> carry(const pest::Dossier& dossier, const Air& air, const PestTiming& timing, const std::vector<CountSeen>& counts,
                           const std::vector<WorkEffect>& work, const std::vector<std::size_t>& target);

}  // namespace leafturn::decision
