#pragma once
/// How fast a stage develops at a temperature: the functions of core/pest/rate_model.hpp, computed.

#include <optional>

#include "core/base/quantity.hpp"
#include "core/pest/rate_model.hpp"

namespace leafturn::phenology {

/// Share of the development that `model` describes, completed per day at constant `t`; never negative, 0 where it doesn't develop. Linear
/// models miss near both ends (tests show by how much, and don't hide it).
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

}  // namespace leafturn::phenology
