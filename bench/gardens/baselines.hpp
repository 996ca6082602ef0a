#pragma once
/// Three forecasts anybody could make, each a negative binomial: what the population model has to beat (model.md 8).

#include <optional>
#include <string>
#include <vector>

#include "core/decision/brief.hpp"
#include "core/population/counts.hpp"

namespace leafturn::bench {

/// Counts of one pest and stage word in one garden, in order of time.
struct PastCount {
  std::string bed;
  double day = 0.0;  ///< since 1 January
  int plants = 0;
  int count = 0;
};
std::vector<PastCount> past_counts(const decision::BriefRequest& request, const std::string& pest, const std::string& stage);

/// k fits each forecast's own errors so far in this garden (moments, between 0.2 and 20).
class Baselines {
 public:
  explicit Baselines(std::vector<PastCount> counts);

  /// (a) This season's mean of the bed, drawn towards the garden's by two visits' worth.
  population::NegativeBinomial season_mean(const std::string& bed, int plants) const;
  /// (b) The bed's last count grown on by a rate fitted to the garden's counts so far, drawn towards no growth; its doubt grows with the
  /// days. Nothing without a count in the bed.
  std::optional<population::NegativeBinomial> random_walk(const std::string& bed, double day, int plants) const;
  /// The k with which counts scattered around what was foretold by `season_mean` so far: for (c), the last count carried along the
  /// phenology, which has no k of its own fitted here.
  double k() const { return k_mean_; }

 private:
  double mean_before(std::size_t count) const;
  void fit_walk();

  std::vector<PastCount> counts_;
  double k_mean_ = 1.0;
  double growth_ = 0.0;     ///< a day, of the logarithm
  double wandering_ = 0.1;  ///< variance a day of the logarithm
  double k_walk_ = 1.0;
};

}  // namespace leafturn::bench
