#pragma once
/// For one bed and one pest: doing nothing beside everything that could be done, by what is expected to be lost and what it takes. Every
/// option meets the same members, the same luck and the same weather (common random numbers), so that differences are sharper than losses.

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "core/decision/acts.hpp"
#include "core/decision/loss.hpp"
#include "core/population/filter.hpp"

namespace leafturn::decision {

/// Every member's path when these deeds are done besides those that were; days from today on, the last day included.
using PathsOf = std::function<population::Paths(std::span<const population::Deed>)>;

/// Individuals of `stages` per plant in one bed; 0 on days without plants. `in_one`: individuals in one of what is counted.
Crowd crowd_of(const population::Paths& paths, const population::World& world, std::size_t bed, std::span<const std::size_t> stages,
               double in_one = 1.0);

/// Stages of which at least one is in the bed within `days` days with a chance of 5 % or more.
std::vector<std::size_t> stages_present(const population::Paths& paths, std::size_t bed, std::span<const double> weights, std::size_t days);

struct CompareRequest {
  const pest::Dossier* dossier = nullptr;
  const population::World* world = nullptr;
  std::size_t bed = 0;
  LossBasis basis;
  PathsOf paths;
  std::vector<double> weights;  ///< of members in this bed; empty = equal
  double k = assumed_k;         ///< of counts between plants, for thresholds that are a share of plants
  std::optional<Money> hour;    ///< what an hour of work is worth, where somebody said
  std::span<const Act> acts;    ///< doing nothing first
};

struct Ranked {
  const Act* act = nullptr;
  Expectation loss;   ///< expected, in the basis's unit, without cost and hours
  Expectation saved;  ///< against doing nothing, the same; negative where it harms more than it helps
  /// Of what is lost by doing nothing, the share saved: of the means, with the interval of the members' own shares, each counting by what
  /// it loses. 0 where nothing is lost.
  Estimate share;
  Expectation total;       ///< with cost and hours, where the unit is money; else as `loss`
  double p_over = 0.0;     ///< chance to be above the threshold on any day
  double days_over = 0.0;  ///< expected
  bool tied = false;       ///< not to be told from the best by what is known
};

struct Comparison {
  LossUnit unit = LossUnit::injury;
  std::vector<Ranked> options;  ///< in the order advised
  std::vector<Reason> why;      ///< of the first
};

/// An option is tied with the best when the mean of their difference is within two standard errors of it (the ensemble can't tell) or
/// within what the sources leave open: half the wider of the two published ranges of effect, as a share of the loss under doing nothing.
/// Among the tied what was tried here in the last ten days comes last; then the gentler comes first, then the one with less work, then the
/// earlier, then the better. Where the loss isn't in money, doing nothing also comes first as long as the threshold is likelier not to be
/// passed than to be (the brief's cut point; common practice, no source); without a threshold it always does, and says that nothing
/// published tells how many are too many.
Comparison compare(const CompareRequest& request);

}  // namespace leafturn::decision
