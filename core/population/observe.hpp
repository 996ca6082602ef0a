#pragma once
/// What a count says: a negative binomial around what a scout would see, its spread by how the pest lies on plants and by how visits
/// differ. Inside core/population.

#include <cstdint>
#include <span>
#include <vector>

#include "core/population/march.hpp"

namespace leafturn::population {

/// Beyond the spread between plants, visits differ (who looks, the hour, the light): coefficient of variation of what is seen, common
/// practice, no source.
inline constexpr double visit_spread = 0.38;
/// A scout writes down something that isn't there, or finds a stray, this often a plant.
inline constexpr double stray_per_plant = 0.002;

/// A visit's question to the members: what they expect of one sighting.
struct Expected {
  std::vector<float> mean;  ///< [member] of the count
  std::vector<float> k;     ///< [member] of the count: 1/k = 1/(plants·k between plants) + visit_spread²
};

class Looking {
 public:
  Looking(const Course& course, const Sighting& sighting);
  /// Fills the sixteen members of a block; `out` has all members' room.
  void ask(const Members& members, std::size_t block, Expected& out) const;
  /// Sets `k` of all from the members' mean: Taylor's law, where published, is taken at what the members expect together.
  void spread(const Members& members, std::span<const double> weights, Expected& out) const;
  const Sighting& sighting() const { return sighting_; }
  const Life& life() const { return *life_; }
  /// Individuals in the bed behind one count of 1.
  double individuals_in_count() const;

 private:
  const Life* life_;
  Sighting sighting_;
  double hosts_ = 1.0;                                ///< plants standing
  std::vector<std::pair<std::size_t, double>> seen_;  ///< stage, share seen
};

/// log probability of the count for every member, added to `log_weights`; k is rounded to a quarter of a power of two.
void weigh(const Sighting& sighting, const Expected& expected, std::span<double> log_weights);

}  // namespace leafturn::population
