#pragma once
/// How fast a stage develops at a temperature: the functions of core/pest/rate_model.hpp, computed.

#include <optional>

#include "core/base/quantity.hpp"
#include "core/pest/rate_model.hpp"

namespace leafturn::phenology {

/// Share of the development that `model` describes, completed per day at constant `t`; finite, never negative, 0 where it doesn't develop.
/// Linear models miss near both ends (tests show by how much, and don't hide it). Kelvin are °C + 273.15.
///
/// Logan and Schoolfield models have no lower threshold: their rate shrinks towards 0 in the cold, below Logan's base too. Lactin and Logan
/// parameters with ρΔ ≥ 1 fall more slowly than they rise and describe no rate: 0 everywhere.
///
/// A table runs through its points without overshooting between them (monotone cubic of 1/days). Where nobody looked:
/// - below the first point, the straight line of the first two down to 0, reached at the latest at the point below that did not develop (5
/// K
///   below the first where the first two don't rise);
/// - above the last, a straight line to 0 at the point above that did not develop. Without one: if the rate was falling already, on along
/// that
///   line, 0 at the latest 5 K higher; if it was still rising, flat for 5 K (a horizontal cutoff, as with a linear model) and to 0 over
///   the next 5 K, because insects reared at their highest tested temperature seldom stop there, and none goes on for ever.
double rate_per_day(const pest::RateModel& model, Temperature t);
/// The same of one stage: model/share.
double rate_per_day(const pest::StageRate& rate, Temperature t);

/// Days from entering to leaving at constant `t`; nothing where it doesn't develop.
std::optional<double> days_at(const pest::RateModel& model, Temperature t);
std::optional<double> days_at(const pest::StageRate& rate, Temperature t);

/// Substages of the linear chain for a coefficient of variation: round(1/CV²), at least 1, at most 64 (Manetsch 1976, from memory).
int substages(double coefficient_of_variation);

/// Distribution function of an Erlang(k) stage with mean `mean`, at `x` ≥ 0; 1 ≤ k ≤ 170, mean > 0. Absolute error below 1e-13.
double erlang_cdf(int k, double mean, double x);

/// Three-parameter Weibull of physiological age (1 = the median or mean individual, as it was fitted): 1 − exp(−((x − start)/scale)^shape)
/// above `start` (Wagner, Wu, Sharpe & Coulson 1984, Ann. Entomol. Soc. Am. 77:475–487, from memory); scale, shape > 0.
struct Weibull {
  double start = 0.0, scale = 1.0, shape = 1.0;
};
double weibull_cdf(const Weibull& spread, double x);

/// Log-logistic of physiological age, half at 1: 1/(1 + x^−slope), x ≥ 0, slope > 0.
double log_logistic_cdf(double slope, double x);

}  // namespace leafturn::phenology
