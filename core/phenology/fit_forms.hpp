#pragma once
/// Each form as a list of numbers: what fit.cpp needs to know of it.

#include <optional>
#include <string_view>
#include <vector>

#include "core/phenology/fit.hpp"

namespace leafturn::phenology {

struct FormParameter {
  std::string_view key;  ///< as in dossiers
  enum class Kind { plain, temperature, kelvin } kind = Kind::plain;
  /// Fitted as its logarithm: positive and known to a factor rather than to a difference.
  bool by_logarithm = false;
};

/// In the order of `model_of`'s numbers. Linear: threshold and constant.
std::vector<FormParameter> parameters_of(FitForm form);

/// The model with these numbers (not logarithms); nothing when a number is outside what the form means (scales, widths and powers positive,
/// lower below upper, temperatures from −40 °C to 60 °C).
std::optional<pest::RateModel> model_of(FitForm form, const std::vector<double>& numbers, Temperature base);

/// Whether the form falls again in the heat.
bool has_upper(FitForm form);

/// Points of a table as the starting grid needs them.
struct Developed {
  std::vector<double> t, rate, weight;  ///< °C, per day
  double coldest = 0.0, hottest = 0.0;
};

/// Starting values, best first, at most `most`: a grid over the numbers that bend the curve, with the scale (Lactin: λ) that fits best at
/// each.
std::vector<std::vector<double>> starts_of(FitForm form, const Developed& data, Temperature base, std::size_t most);

}  // namespace leafturn::phenology
