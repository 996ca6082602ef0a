#pragma once
/// Textbook arithmetic of pest decisions: how many are worth acting on, and what knowing more would be worth. Plain numbers in, plain
/// numbers out; what a pest costs here is in loss.hpp.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/base/quantity.hpp"

namespace leafturn::decision {

/// An amount in the garden's own currency, whichever that is. Never made up: it comes from a price somebody gave.
class Money : public Span<Money> {
 public:
  constexpr Money() = default;
  static constexpr Money of(double v) { return Money{v}; }
  constexpr double amount() const { return base_; }

 private:
  friend class Span<Money>;
  using Span::Span;
};

/// One pest, one control, one unit of ground (the same for all fields).
struct ControlWorth {
  Money cost;                    ///< C: of the control, per unit of ground
  Money value;                   ///< V: of the yield, per unit of yield
  double injury_per_pest = 1.0;  ///< I
  double loss_per_injury = 0.0;  ///< D: units of yield lost per unit of injury
  double control = 1.0;          ///< K: share of the injury that the control prevents, in (0, 1]
};
/// Economic injury level, pests per unit of ground: C/(V·I·D·K) (Pedigo, Hutchins & Higley 1986, Annu. Rev. Entomol. 31:341–368). Nothing
/// when the product below the line isn't above 0.
std::optional<double> injury_level(const ControlWorth& worth);

/// The density at which to act now, when the control works `delay_days` from now and they multiply by `growth_per_day` until then: level /
/// growth^delay. growth > 0.
double action_level(double injury_level, double growth_per_day, double delay_days);

/// Loss that levels off, N pests: aN/(1 + aN/B) (Cousens 1985, from memory: J. Agric. Sci. 105:513–521). a ≥ 0 is the share lost to the
/// first, 0 < B ≤ 1 the share lost to endlessly many.
struct Hyperbola {
  double first = 0.0;
  double most = 1.0;
};
double share_lost(const Hyperbola& loss, double pests);
/// The least density at which treating pays, where `surviving` of the pests live through it: value·(loss(N) − loss(surviving·N)) = cost.
/// Nothing when it never does. Relative error below 1e-12.
std::optional<double> paying_density(const Hyperbola& loss, Money cost, Money value, double surviving);

/// What each action costs in each state of the world, and how likely the states are.
struct LossTable {
  std::vector<double> belief;             ///< [state] sums to 1
  std::vector<std::vector<double>> loss;  ///< [action][state]; at least one action
};
struct Decided {
  std::vector<double> expected;  ///< [action] expected loss
  std::size_t best = 0;          ///< the least; the first of equals
};
Decided decide(const LossTable& table);
/// What knowing the state before choosing would save.
double value_of_perfect_information(const LossTable& table);
/// What seeing one of the outcomes of a look before choosing would save: `likelihood[outcome][state]`, each state's column summing to 1
/// over all outcomes (as far as they are given: what is left out counts as no news). Never negative.
double value_of_sample_information(const LossTable& table, std::span<const std::vector<double>> likelihood);
/// Beliefs after an outcome (Bayes); as they were when the outcome is impossible.
std::vector<double> updated(std::span<const double> belief, std::span<const double> likelihood);

}  // namespace leafturn::decision
