#include "core/population/unknowns.hpp"

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

constexpr double third = 0.43072729929545744;  // Φ⁻¹(2/3)

Belief& belief(Prior& prior, Unknown unknown) { return prior.beliefs[static_cast<std::size_t>(unknown)]; }

}  // namespace

Prior prior_of(const Life& life) {
  Prior prior;
  // Arrivals are believed in young: a garden's plants get about one in ten days from outside, give or take a factor of five. Half of what
  // arrives moves on before it has laid half.
  const double young = life.young_per_adult > 0.0 ? life.young_per_adult : 1.0;
  belief(prior, Unknown::arrival) = {0.15 / young, 1.4};
  belief(prior, Unknown::start) = {0.25 / young, 1.8};
  prior.likeness = 0.85;
  belief(prior, Unknown::reproduction) = {1.0, 0.5};
  belief(prior, Unknown::mortality) = {1.25, 0.5};
  belief(prior, Unknown::enemies) = {0.15, 1.2};
  belief(prior, Unknown::clumping) = {1.0, 0.6};
  return prior;
}

double value_of(const Prior& prior, Unknown unknown, double z) {
  const Belief& b = prior.beliefs[static_cast<std::size_t>(unknown)];
  if (unknown == Unknown::efficacy) return efficacy_of(z);
  if (unknown == Unknown::movement) return static_cast<double>(movement_of(z));
  return b.middle * num::exp(b.spread * z);
}

Movement movement_of(double z) {
  if (z < -third) return Movement::stays;
  return z < third ? Movement::goes_to_neighbours : Movement::leaves;
}

double efficacy_of(double z) { return 1.0 / (1.0 + num::exp(-efficacy_slope * z)); }

}  // namespace leafturn::population
