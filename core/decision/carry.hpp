#pragma once
/// The last counts of a pest in a bed, carried along its calendar to now and the next days.

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
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

/// The counts still worth carrying: for each stage the latest by `now`, taken within `memory_days` of it and since anything that emptied
/// the bed.
std::vector<CountSeen> latest_counts(const garden::Garden& garden, const pest::Dossier& dossier, const std::string& bed, const Zone& zone,
                                     Instant now, std::optional<Instant> not_before);

/// A count in which less than this of what was counted can be in the stage asked for says nothing about that stage.
inline constexpr double says_something = 0.05;

/// Something done in the bed: between `low` and `high` of those that were in `stages` by then are gone, once.
struct WorkEffect {
  CivilTime at;
  std::vector<std::size_t> stages;
  double low = 0.0, high = 0.0;
};

/// Where those found in a count stand, as shares of them.
struct Aged {
  std::vector<std::vector<double>> stands;  ///< [day from yesterday on][stage] mean over the futures
  double doubt = 0.0;                       ///< relative variance that the work's effect adds
};
/// What was aged before under the same weather, so that one more count in a garden costs one more count. Not for two threads at once.
class AgedBefore {
 public:
  /// Kept under everything it follows from besides the air: made when it isn't there.
  template <class Make>
  const Aged& get(std::string key, const Make& make) {
    if (kept_.size() >= most && !kept_.contains(key)) kept_.clear();
    auto& kept = kept_[std::move(key)];
    if (!kept) kept = std::make_shared<const Aged>(make());
    return *kept;
  }

 private:
  static constexpr std::size_t most = 4096;
  std::map<std::string, std::shared_ptr<const Aged>> kept_;
};

/// Densities of individuals in any of `target` at the end of each day from yesterday (index 0) to `ahead` days past today, mean over the
/// futures.
struct Carried {
  std::vector<Density> days;
  /// [day] The largest share of one count that stands in `target` had nothing been done: near 0, no count says anything about that day.
  std::vector<double> spoken_for;
};
/// What was done since a count (`work`) takes its share off those that were in a stage it works on when it was done, not of those it found
/// as eggs or as adults.
Carried carry(const pest::Dossier& dossier, const Air& air, const PestTiming& timing, const std::vector<CountSeen>& counts,
              std::vector<WorkEffect> work, const std::vector<std::size_t>& target, int ahead = horizon, AgedBefore* before = nullptr);

}  // namespace leafturn::decision
