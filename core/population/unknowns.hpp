#pragma once
/// The eight things the model doesn't know of a pest in a bed, and what is believed of them before anything is counted. Each is kept as a
/// standard normal number z; its value is a function of z. Beds of one garden are alike: their z are correlated.

#include <array>
#include <cstddef>
#include <cstdint>

#include "core/population/life.hpp"

namespace leafturn::population {

enum class Unknown : std::uint8_t { start, arrival, reproduction, mortality, enemies, movement, efficacy, clumping };
inline constexpr std::size_t unknown_count = 8;

/// How adults move between beds: never measured for most pests, so all three are run and weighted by what the counts say.
enum class Movement : std::uint8_t { stays, goes_to_neighbours, leaves };

struct Belief {
  double middle = 1.0;  ///< median of the value
  double spread = 0.5;  ///< standard deviation of its logarithm
};

struct Prior {
  /// start: adults a plant on the world's first day · arrival: adults a plant and day · reproduction, mortality: factors on Life's ·
  /// enemies: hazard a day of eaten stages once enemies are many · clumping: k of the negative binomial of counts between plants. movement
  /// and efficacy have no scale: see movement_of and efficacy_of.
  std::array<Belief, unknown_count> beliefs{};
  double likeness = 0.7;  ///< correlation of z between two beds of a garden
};
Prior prior_of(const Life& life);

double value_of(const Prior& prior, Unknown unknown, double z);
Movement movement_of(double z);                  ///< a third each
inline constexpr double efficacy_slope = 1.702;  ///< makes the logistic curve nearly the normal distribution function
double efficacy_of(double z);                    ///< 0 … 1, about evenly: where between a deed's low and high it lies here

}  // namespace leafturn::population
