#pragma once
/// An invented garden for bench/population: twelve beds of brassicas, three pests, made-up weather by the hour, counts that somebody might
/// have taken. Everything follows from the seed.

#include <cstdint>
#include <string>
#include <vector>

#include "core/population/filter.hpp"

namespace leafturn::bench {

struct SeasonSize {
  std::size_t beds = 12, pests = 3, members = 4096;
  std::int32_t days = 180;      ///< on every third, somebody counts every pest …
  std::size_t beds_a_walk = 1;  ///< … in so many beds, each in its turn
  std::int32_t ahead = 21;      ///< days forecast after them
};

/// The two threads of a bench: core has none. Tasks go to whichever is free; results don't depend on it.
population::Workers two_threads();
population::Workers one_thread();

/// Everything that is known before the first day and is no work of the model: dossiers compiled, weather, beds, counts.
class BedsSeason {
 public:
  BedsSeason(const pest::Library& library, const SeasonSize& size, std::uint64_t seed);

  const SeasonSize& size() const { return size_; }
  const population::Life& life(std::size_t pest) const { return lives_[pest]; }
  /// What a filter of that pest is set up with, steps of the weather included.
  population::Setup setup(std::size_t pest, const population::Workers& workers) const;
  /// Counts of one pest, by time.
  const std::vector<population::Sighting>& counts(std::size_t pest) const { return counts_[pest]; }
  /// One more, on the day after the last: bed after bed, three hours apart.
  population::Sighting another(std::size_t pest, std::size_t bed) const;
  const weather::HourlySeries& air() const { return air_.front(); }
  double member_substages() const;  ///< members × beds × substages, all pests

 private:
  population::World world(std::size_t pest) const;
  std::vector<population::Sighting> invent_counts(std::size_t pest, std::uint64_t seed) const;

  SeasonSize size_;
  std::uint64_t seed_;
  std::vector<population::Life> lives_;
  std::vector<weather::HourlySeries> air_;  ///< one a future; the same up to the last day
  std::vector<std::vector<population::Sighting>> counts_;
};

}  // namespace leafturn::bench
