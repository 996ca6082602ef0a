#pragma once
/// Numbers that learn from counts: one particle filter a pest, localised by bed. Members carry the state of the model and its unknowns; a
/// count in a bed reweighs that bed's members only, and moves what the other beds are believed to be like by as much as beds are alike.
///
/// Gordon, Salmond & Smith 1993 (IEE Proc. F 140:107–113) with systematic resampling (Kitagawa 1996), unknowns refreshed after Liu & West
/// 2001, the step from one bed to the others by regression (Anderson 2003, Mon. Weather Rev. 131:634–642); all from memory.

#include <array>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "core/population/count_mixture.hpp"
#include "core/population/kernel.hpp"
#include "core/population/unknowns.hpp"
#include "core/population/world.hpp"

namespace leafturn::population {

/// Runs task(i) for i in [0, count), in any order, on as many threads as the caller has: core has none of its own. Results never depend on
/// the order. Empty = one after the other.
using Workers = std::function<void(std::size_t count, const std::function<void(std::size_t)>& task)>;

struct Setup {
  const Life* life = nullptr;
  World world;
  std::vector<Future> futures;  ///< equally likely, at least one
  Prior prior;
  std::size_t members = 1024;  ///< a multiple of 16
  std::uint64_t seed = 1;
  std::uint16_t pest = 0;  ///< number of the pest in the garden, for its own random numbers
  Lanes lanes = widest_lanes();
  Workers workers;
  /// Belief that a visit that finds something meets what the model doesn't know of (cloud.hpp, add_newcomers); 0 = the model knows all.
  double unforeseen = 0.02;
  std::size_t checkpoints = 2;  ///< earlier states kept for counts that come late; each costs as much memory as the ensemble
};

/// A count held against what was expected of it, before it was used.
struct Scored {
  Sighting sighting;
  CountMixture expected;
  double crps = 0.0, log_score = 0.0;
  double pit = 0.0;  ///< randomised
};

/// What has become of an unknown in a bed.
struct Learned {
  double mean = 0.0, sd = 1.0;             ///< of z; before any count 0 and 1
  double p05 = 0.0, p50 = 0.0, p95 = 0.0;  ///< of its value
  bool learned = false;                    ///< variance below 80 % of the prior's: else 'not learned here'
};

/// Every member's path: individuals by day, bed and stage at a given step of the day.
class Paths {
 public:
  Paths(std::int32_t first_day, std::size_t days, std::size_t beds, std::size_t stages, std::size_t members);
  std::int32_t first_day() const { return first_day_; }
  std::size_t days() const { return days_; }
  std::size_t members() const { return members_; }
  std::size_t stages() const { return stages_; }
  /// [member], individuals in the bed at noon of that day.
  std::span<const float> at(std::size_t day, std::size_t bed, std::size_t stage) const;
  std::span<float> at(std::size_t day, std::size_t bed, std::size_t stage);

 private:
  std::int32_t first_day_;
  std::size_t days_, beds_, stages_, members_;
  std::vector<float> x_;
};

class Filter {
 public:
  explicit Filter(Setup setup);
  Filter(Filter&&) noexcept;
  Filter& operator=(Filter&&) noexcept;
  ~Filter();
  Filter clone() const;

  /// Folds counts in, in order of time; each is scored first. One that is older than what was folded already reopens the filter from the
  /// checkpoint before it, and everything since is folded again (and scored again).
  void fold(std::span<const Sighting> sightings);
  const std::vector<Scored>& scored() const;
  StepNumber now() const;

  /// What a count not yet taken would be, at any time from the last fold on. `extra` deeds are added to the world's.
  std::vector<CountMixture> expect(std::span<const Sighting> asks, std::span<const Deed> extra = {}) const;
  /// Days `from` to `to` of the world, not before now.
  Paths paths(std::int32_t from, std::int32_t to, std::span<const Deed> extra = {}) const;

  /// Weights of members in a bed as they stand, summing to 1.
  std::vector<double> weights(std::size_t bed) const;
  Learned learned(std::size_t bed, Unknown unknown) const;
  /// z of an unknown in a bed in `count` members picked by weight, each as often as its weight says.
  std::vector<double> draws(std::size_t bed, Unknown unknown, std::size_t count) const;
  /// Posterior shares of the three ways of moving, in this bed.
  std::array<double, 3> movement(std::size_t bed) const;
  /// [member] the way of moving in this bed of each member as `paths` numbers them.
  std::vector<Movement> ways(std::size_t bed) const;
  /// The same bytes for the same history, whatever the threads and lanes: a hash of all states and unknowns.
  std::uint64_t digest() const;

 private:
  struct Inside;
  explicit Filter(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace leafturn::population
