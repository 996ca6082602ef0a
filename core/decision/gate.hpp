#pragma once
/// Whether the population model has earned its seat: does it say this garden's counts better than the last count carried along the calendar
/// does? (model.md 5, docs/decisions/0014)

#include <optional>
#include <vector>

#include "core/base/fact.hpp"
#include "core/population/world.hpp"

namespace leafturn::decision {

/// Counts that both forecasts spoke of, and days they were taken on, before anything is said.
inline constexpr int least_counts = 10;
inline constexpr int least_walks = 3;

/// One count, scored before it was used by either. Scores are CRPS in things counted: less is better.
struct Compared {
  population::Sighting sighting;
  double population = 0.0;
  std::optional<double> carried;  ///< nothing where no earlier count of that bed says anything about it
};

struct Gate {
  bool passed = false;
  Reason why;                              ///< `gate.too_few`, `gate.few_walks`, `gate.not_better`, `gate.passed`
  int counts = 0;                          ///< compared: spoken of by both
  int walks = 0;                           ///< days they were taken on
  double population = 0.0, carried = 0.0;  ///< mean CRPS per plant looked at
  double gain = 0.0;                       ///< mean of carried − population
  double standard_error = 0.0;             ///< of the gain, the counts of one day taken as one
  std::vector<Compared> scored;            ///< all, by time
};

/// **Rule.** Passed when there are `least_counts` counts on `least_walks` days and gain > t·standard_error, with t the 90 % quantile of
/// Student's distribution on walks − 1 degrees of freedom: at any one time, one garden in ten gives the seat to a model without any gain.
/// Counts of one day share weather, scout and luck, so they are one draw: standard error² = G/(G − 1)·Σ over days (Σ of the day's
/// deviations)²/n². A single count, however large, can't pass: its own deviation is then as large as the gain.
Gate gate(std::vector<Compared> scored, const Term& pest);

/// The value that Student's variable exceeds with chance 0.1; degrees ≥ 2. Abramowitz & Stegun 26.7.5 (from memory), error below 0.2 %.
double student_90(int degrees);

}  // namespace leafturn::decision
