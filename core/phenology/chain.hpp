#pragma once
/// The linear chain that season() and age_on() integrate: stages of k equal substages, each left at rate k·r. Shares in, shares out.

#include <optional>
#include <span>
#include <vector>

namespace leafturn::phenology {

/// Those bound to rest part from the others on leaving `decided` and stop on entering `rests`; at once when `rests` isn't a later stage.
struct RestRule {
  std::size_t decided = 0;
  std::size_t rests = 0;
};

/// What happens during one step of at most an hour, during which rates stay as they are.
struct ChainStep {
  std::span<const double> rate_per_day;  ///< of each stage
  double hours = 1.0;
  double inflow = 0.0;  ///< newcomers during the step, spread evenly over it
  std::size_t inflow_stage = 0;
  double bound_share = 0.0;  ///< of those leaving `RestRule::decided`
};

/// What passed during a step.
struct ChainFlow {
  std::vector<double> entered;  ///< per stage
  double last_aged = 0.0;       ///< ∫ r·(share in the last stage) dt: 1 in total for each individual that lives through it
};

/// The step is exact for constant rates but for 1e-10: x(t + h) = Σ Poisson(n; Λ)·Pⁿ·x(t) with Λ the fastest substage's rate
/// (uniformisation, Jensen 1953, Skand. Aktuarietidskr. 36:87–91, from memory). Every term is a sum of non-negative numbers, so no share
/// goes below zero and none is lost.
class Chain {
 public:
  Chain(std::vector<int> substages, std::optional<RestRule> rest);

  void advance(const ChainStep& step, ChainFlow& flow);
  /// Puts `share` into a stage, evenly over its substages: all of them, or `count` from `first` on (0 is the stage's own first).
  void place_evenly(std::size_t stage, double share);
  void place_evenly(std::size_t stage, double share, std::size_t first, std::size_t count);

  std::size_t stage_count() const { return substages_.size(); }
  double in_stage(std::size_t stage) const;  ///< without the resting
  double resting() const { return resting_; }
  bool empty() const;  ///< nobody left but the resting

 private:
  struct Term {
    double weight;     ///< Poisson(n; Λ)
    double stay_time;  ///< ∫ of that weight over the step: the time spent after exactly n jumps
  };
  void place(std::size_t substage, double share);
  void weigh(double fastest);
  void spread_rates(double fastest, std::size_t low, std::size_t high);
  void note_flow(ChainFlow& flow, double stay_time, double bound_share, std::size_t low, std::size_t top) const;

  std::vector<int> substages_;
  std::vector<std::size_t> first_;  ///< index of each stage's first substage; one more for the end
  std::optional<RestRule> rest_;
  std::size_t free_ = 0;            ///< substages of those that go on; the bound follow behind
  std::vector<double> now_;         ///< shares by substage
  std::size_t low_ = 0, high_ = 0;  ///< the free substages with anyone in them; low_ = free_ when there are none
  bool bound_walking_ = false;
  double resting_ = 0.0;
  std::vector<double> leaving_, term_, next_, sum_, stay_, pass_;  ///< work space
  std::vector<Term> weights_;
};

}  // namespace leafturn::phenology
