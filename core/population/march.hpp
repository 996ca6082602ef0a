#pragma once
/// The model itself: one block of members from one time to another. At each midnight adults move and arrive, enemies grow or go, chance
/// strikes; then eight steps of development, death and laying, with what people did in between. Inside core/population.

#include <functional>
#include <span>
#include <vector>

#include "core/population/course.hpp"
#include "core/population/kernel.hpp"
#include "core/population/lane_random.hpp"
#include "core/population/unknowns.hpp"

namespace leafturn::population {

/// What sixteen members believe of one bed: the unknowns as values.
struct Believed {
  Lane arrival{}, start{}, reproduction{}, mortality{}, enemies{}, efficacy{}, clumping{};
  Lane leaving{};        ///< adults a day that leave a good bed
  Lane to_neighbours{};  ///< 1: those that leave look for another bed here; 0: they are gone
  Lane goes{};           ///< 1: this is a member in which adults leave the garden
};
using Deviates = std::array<Lane, unknown_count>;  ///< z of each unknown

/// The whole ensemble of one pest. All vectors: [block·beds + bed].
struct Members {
  Ensemble state;
  std::vector<Lane> enemies;  ///< 0 none … 1 as many as there can be
  std::vector<Lane> resting;  ///< individuals gone to rest
  std::vector<Lane> spell;  ///< how a bed has been doing lately for reasons nobody wrote down: growth a day over what was expected, about 0
  std::vector<Deviates> z;
  std::vector<Believed> believed;
  /// [bed] 1 once it was counted. What leaves a bed that never was is not followed: it is part of what flies in from outside, of which the
  /// other beds' counts tell.
  std::vector<std::uint8_t> counted;
  std::size_t index(std::size_t block, std::size_t bed) const { return block * state.beds() + bed; }
};

struct Chance {
  std::uint64_t seed = 1;
  std::uint16_t pest = 0;
};

/// Members of one block on the world's first day, before anything happened.
void begin(const Course& course, Members& members, std::size_t block);

/// From `from` to `to`. At each of `stops` (rising, within [from, to]) `at_stop(number)` is called before what is done at that time.
/// Deeds at `to` are left for the next march.
void march(const Course& course, const Chance& chance, Members& members, std::size_t block, StepNumber from, StepNumber to, Lanes lanes,
           std::span<const StepNumber> stops = {}, const std::function<void(std::size_t)>& at_stop = {});

}  // namespace leafturn::population
