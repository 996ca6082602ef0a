#pragma once
/// How well a forecast did, once it is known what came. All scores are penalties in the unit of the forecast (log scores in nats): less is
/// better, and on average none does better than the distribution the value really came from (they are proper).
///
/// Sources, from memory, each checked in tests/population: Gneiting & Raftery 2007 (J. Am. Stat. Assoc. 102:359–378); Czado, Gneiting &
/// Held 2009 (Biometrics 65:1254–1261) for counts; Ferro 2014 (Q. J. R. Meteorol. Soc. 140:1917–1923) for the fair score.

#include <cstddef>
#include <cstdint>
#include <span>

#include "core/population/counts.hpp"

namespace leafturn::population {

/// Continuous ranked probability score ∫ (F(x) − 1{x ≥ came})² dx; the absolute error when the forecast is a single value. sd > 0.
double crps_normal(double mean, double sd, double came);
/// The same of counts, Σ over n ≥ 0, to 1e-11 relative; within 2e-6 of the standard deviation where counts above 200,000 have a chance
/// (then `CountMixture` takes over).
double crps_counts(NegativeBinomial forecast, std::int64_t came);
/// The same of n ≥ 1 members with equal chance. O(n log n); copies them. NaN without members.
double crps_ensemble(std::span<const double> members, double came);
/// As if the members were endless draws of the same distribution: small ensembles aren't punished for being small. n ≥ 2, NaN below.
double crps_ensemble_fair(std::span<const double> members, double came);

/// −log of the density or probability of what came.
double log_score_normal(double mean, double sd, double came);
double log_score_counts(NegativeBinomial forecast, std::int64_t came);

/// Of a central interval that leaves `alpha` outside: width, and 2/alpha for each unit by which it was missed.
double interval_score(double low, double high, double alpha, double came);

/// Ranked probability score of ordered classes: Σ (cumulative forecast − cumulative truth)². `came` is the 0-based class.
double ranked_probability_score(std::span<const double> forecast, std::size_t came);

/// Where in the forecast's distribution a count fell: from the probability of fewer to the probability of as many or fewer.
struct PitInterval {
  double below = 0.0;
  double up_to = 0.0;
};
PitInterval pit_interval(NegativeBinomial forecast, std::int64_t came);
/// A point of the interval: uniform on (0, 1) when the forecasts are calibrated and u is uniform.
double randomised_pit(PitInterval interval, double u);
/// Share of the interval that lies between two levels of probability, such as 0.05 and 0.95: the chance that a randomised interval between
/// these quantiles holds the count. A quantile's own count is held with just the chance that makes calibrated forecasts cover
/// `high − low` on average, where a plain interval of whole counts covers more. An interval of no width is held or not.
double covered(PitInterval interval, double low, double high);

/// How many of n forecasts a calibrated interval of `nominal` coverage holds: the binomial's quantiles that leave (1 − within)/2 on either
/// side.
struct Hits {
  std::int64_t low = 0;
  std::int64_t high = 0;
};
Hits expected_hits(std::int64_t forecasts, double nominal, double within = 0.95);

}  // namespace leafturn::population
