#pragma once
/// How fast a stage develops at a temperature.

#include <optional>

#include "core/base/quantity.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::phenology {

/// Share of the stage completed per day at constant `t`: (T − lower)/constant, 0 at or below `lower`, flat above `upper`, 0 at or above
/// `lethal`. Linear models miss near both ends (tests show by how much, and don't hide it).
double rate_per_day(const pest::LinearRate& rate, Temperature t);

/// Days from entering to leaving at constant `t`; nothing where it doesn't develop.
std::optional<double> days_at(const pest::LinearRate& rate, Temperature t);

/// Substages of the linear chain for a coefficient of variation: round(1/CV²), at least 1, at most 64 (Manetsch 1976, from memory).
int substages(double coefficient_of_variation);

/// Distribution function of an Erlang(k) stage with mean `mean`, at `x` ≥ 0; 1 ≤ k ≤ 170, mean > 0. Absolute error below 1e-13.
double erlang_cdf(int k, double mean, double x);

}  // namespace leafturn::phenology
