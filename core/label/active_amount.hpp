#pragma once
/// Amounts per area, of product and of active ingredient: what season limits add up.

#include <optional>
#include <string_view>

#include "core/label/card.hpp"

namespace leafturn::label {

/// How much active a product holds: grams a litre, or grams a gram.
struct Content {
  std::optional<double> grams_per_litre;
  std::optional<double> share;
};
/// `120 g/L`, `4 lb/gal`, `54 %`, `500 g/kg`. Nothing when it can't be read as such (units of activity, for one).
std::optional<Content> read_content(std::string_view text);

/// Product per area: litres or grams a square metre.
struct Dose {
  bool by_weight = false;
  double per_square_metre = 0.0;
};
/// Of a rate per area; of a rate per volume, with the finished spray per area, in L/m². Nothing where that isn't known.
std::optional<Dose> dose_of(const ProductRate& rate, const std::optional<double>& water);
/// Grams of active a square metre. Nothing where the content isn't told in the dose's measure.
std::optional<double> active_of(const Dose& dose, const Content& content);

}  // namespace leafturn::label
