#pragma once
/// What all members of one pest's ensemble meet: the world, the weather's ways, what is done, and how far beds are from each other. Inside
/// core/population.

#include <span>
#include <vector>

#include "core/population/steps.hpp"
#include "core/population/world.hpp"

namespace leafturn::population {

/// A smaller share of those that look for another bed comes down nowhere.
inline constexpr float least_share = 1e-4F;

/// What all members meet.
class Course {
 public:
  Course(const Life& life, const World& world, std::span<const Future> futures, std::span<const Deed> extra);

  const Life& life() const { return *life_; }
  const World& world() const { return *world_; }
  const Future& future(std::size_t block) const { return futures_[block % futures_.size()]; }
  std::span<const Deed> deeds() const { return deeds_; }
  /// A bed on a day: the world's, bare from the day on which one of the extra deeds pulls it.
  const BedDay& on(std::int32_t day, std::size_t bed) const;
  bool covered(std::size_t bed, std::int32_t day) const;          ///< at the beginning of the day
  const Deed* cover_of(std::size_t bed, std::int32_t day) const;  ///< the deed that covered it, while it holds
  /// Share of a residue left at the beginning of a day.
  double residue(const Deed& deed, std::int32_t day, std::size_t block) const;
  double fly_weight(std::size_t from, std::size_t to) const { return fly_[from * world_->beds.size() + to]; }
  /// [from·beds + to] share of those that leave `from` that come down on `to` that day; all 0 where there is no other bed with a crop.
  std::span<const float> landing(std::int32_t day) const {
    const std::size_t each = world_->beds.size() * world_->beds.size();
    return std::span<const float>(landing_).subspan(static_cast<std::size_t>(day) * each, each);
  }
  double walk_weight(std::size_t from, std::size_t to) const { return walk_[from * world_->beds.size() + to]; }
  /// How lively adults are on a day, against one of 22 °C: 0 … 1.5.
  float activity(std::size_t block, std::int32_t day) const;
  /// Development of a whole day, and the part of the laying stage's development done in it.
  const Run& whole_day(std::size_t block, std::int32_t day) const;
  float aged(std::size_t block, std::int32_t day) const;

 private:
  void set_landing();
  const Life* life_;
  const World* world_;
  std::span<const Future> futures_;
  std::vector<Deed> deeds_;           ///< by time
  std::vector<std::int32_t> pulled_;  ///< [bed] day on which an extra deed pulls it; empty when none does
  std::vector<double> fly_, walk_;
  std::vector<float> landing_;
  struct DayRun {
    Run run;
    float aged = 0.0F, activity = 0.0F;
  };
  const DayRun& day_run(std::size_t block, std::int32_t day) const;
  std::vector<std::vector<DayRun>> days_;  ///< [future][day]; those before `shared_` are the first future's
  std::int32_t shared_ = 0;
};

}  // namespace leafturn::population
