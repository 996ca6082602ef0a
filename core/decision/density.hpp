#pragma once
/// How many per plant, from a count, and what is known of it later.

#include "core/decision/brief.hpp"

namespace leafturn::decision {

/// A density as a gamma distribution: mean and relative variance (variance/mean²).
struct Density {
  double mean = 0.0;
  double relative_variance = 1.0;
};

/// Spread of counts between plants taken where nothing is published for the pest: negative binomial k = 1
/// (variance m + m²). Common practice, no source; the brief says that it was assumed.
inline constexpr double assumed_k = 1.0;

/// From `count` individuals on `plants` plants. Half an individual is added, so that a clean count still leaves room for a few
/// (Jeffreys' prior for a Poisson rate); the relative variance is 1/(count + ½) + 1/(plants·k), the negative binomial's for a mean of
/// `plants` plants.
/// Its 5–95 % interval holds the truth of negative binomial counts in 83–99 % of cases where plants differ as assumed or less (k 1–3, 5–40
/// plants, means 0.1–3), and in 77–98 % where they clump twice as much (k = ½); what it misses lies mostly above it
/// (tests/decision/density_test.cpp).
Density density_of(int count, int plants, double k = assumed_k);

/// Part `share` of `d` (those that are now in the stage asked for). The relative variance stays.
Density scaled(const Density& d, double share);
/// Independent densities added: means and variances add.
Density sum(const Density& a, const Density& b);

Estimate estimate(const Density& d);  ///< mean with its 5 and 95 % points
double probability_over(const Density& d, double threshold);

}  // namespace leafturn::decision
