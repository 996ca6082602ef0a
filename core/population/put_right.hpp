#pragma once
/// What this garden's own scores say of the forecasts of counts: whether scouts find more or fewer of a stage than is expected, and whether
/// forecasts have been too sure or not sure enough. Only forecasts of counts are put right by it; what is believed to be in the beds is
/// not, because a share found may be learned from paired counts alone (model.md 5). Inside core/population.

#include <array>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "core/population/observe.hpp"

namespace leafturn::population {

class PutRight {
 public:
  PutRight();
  /// Members' expectations of a count, multiplied by the ratio found of its kind so far and spread around their mean by the width learned;
  /// k goes with the width.
  void apply(const Sighting& sighting, std::span<const double> weights, Expected& expected) const;
  /// Takes in a count with what was expected of it, before `apply`.
  void learn(const Sighting& sighting, std::span<const double> weights, const Expected& expected);

  double ratio(const Sighting& sighting) const;
  /// 1 where forecasts are as sure as they should be; above, they were too sure and are widened.
  double width() const;

 private:
  static constexpr std::array<double, 7> widths{0.55, 0.7, 0.85, 1.0, 1.25, 1.6, 2.0};
  using Kind = std::pair<std::vector<std::size_t>, bool>;  ///< stages, and whether they were counted in masses
  static Kind kind(const Sighting& s) { return {s.stages, s.in_one > 1.0}; }
  std::map<Kind, std::pair<double, double>> sums_;  ///< weighed sums of what came and of what was expected
  std::array<double, widths.size()> support_{};     ///< log of belief and past scores
};

}  // namespace leafturn::population
