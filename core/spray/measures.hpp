#pragma once
/// Doses in the measures at hand: always rounded down, never read from fewer than five graduations, because a smaller dose is mostly guess.

#include <optional>
#include <span>
#include <string_view>

#include "core/base/quantity.hpp"

namespace leafturn::spray {

/// A vessel or scale. Amounts are litres for liquids and grams for dry products.
struct Measure {
  std::string_view key;  ///< `spray.measure.KEY` in the catalogue
  bool weighs = false;
  bool us = false;  ///< US customary graduations
  double graduation = 0.0;
  double capacity = 0.0;
};

/// What sheds have: common practice, no source. Spoons are for liquids: a level spoon of a dry product weighs anything (spray-practice.md
/// 4.2, 2 to 6 tablespoons an ounce, seen S66).
std::span<const Measure> usual_measures();

inline constexpr int least_graduations = 5;
inline constexpr double most_loss = 0.10;  ///< of the dose wanted, that rounding down may cost
inline constexpr int most_fillings = 8;    ///< of one measure, beyond which somebody miscounts

/// A dose as it is measured out.
struct Reading {
  Measure measure;
  int fillings = 0;       ///< whole ones
  int graduations = 0;    ///< of the last, not full, one; 0 when the whole ones are all
  double measured = 0.0;  ///< L or g, at most what was wanted
};

/// The reading that loses least to rounding down, of those with at least `least_graduations` in all, at most `most_loss` lost and at
/// most `most_fillings`; within one per cent of the best, the one with fewest fillings. Nothing when no measure will do.
/// `wanted`: L, or g for what is weighed.
std::optional<Reading> measure_out(double wanted, bool weighs, bool us, std::span<const Measure> measures);

/// The least dose that some measure can give: what to combine beds up to. L or g.
double least_measurable(bool weighs, std::span<const Measure> measures);

}  // namespace leafturn::spray
