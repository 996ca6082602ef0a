#pragma once
/// How many of one pest there are by the population model, bed by bed and day by day: what a filter's paths say, ready to be asked.

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/decision/gate.hpp"
#include "core/pest/dossier.hpp"
#include "core/population/filter.hpp"
#include "core/population/unknowns.hpp"

namespace leafturn::decision {

/// A quantity's distribution over the members.
struct Spread {
  double mean = 0.0, p025 = 0.0, p05 = 0.0, p25 = 0.0, p50 = 0.0, p75 = 0.0, p95 = 0.0, p975 = 0.0;
};

/// Of equally likely members' values, at least one: the mean, and for each level the least value that with all below it holds that share.
Spread spread_of(std::vector<float> values);

class Numbers {
 public:
  /// Days `from` to `to` of `world`, at noon of each. A day whose noon is before the filter's last count is left out.
  Numbers(const population::World& world, const population::Filter& filter, std::int32_t from, std::int32_t to);

  Date first() const { return first_; }
  Date last() const { return first_ + Days{static_cast<std::int32_t>(paths_.days()) - 1}; }
  std::optional<std::size_t> bed(std::string_view name) const;
  /// Hosts standing; 0 = none, and then nothing below is known.
  double plants(Date day, std::size_t bed) const;
  /// Individuals of any of `stages` per plant, in parts of `in_one` (eggs in a mass): one value a member. A day outside [first, last] is
  /// taken as the nearest.
  std::vector<float> per_plant(Date day, std::size_t bed, std::span<const std::size_t> stages, double in_one = 1.0) const;
  /// Nothing where no host stands.
  std::optional<Spread> spread(Date day, std::size_t bed, std::span<const std::size_t> stages, double in_one = 1.0) const;
  /// Share of the members past `threshold` per plant.
  std::optional<double> over(Date day, std::size_t bed, std::span<const std::size_t> stages, double in_one, double threshold) const;

 private:
  std::size_t index_of(Date day) const { return static_cast<std::size_t>((std::clamp(day, first_, last()) - first_).count); }

  Date first_;
  std::vector<std::string> beds_;
  std::vector<float> plants_;  ///< [day·beds + bed]
  population::Paths paths_;    ///< members equally likely
};

/// What the population model says of one pest in the garden, and whether it may speak for the advice.
struct PestNumbers {
  const pest::Dossier* dossier = nullptr;
  Gate gate;
  std::shared_ptr<const Numbers> numbers;
  std::vector<std::vector<population::Unknown>> not_learned;  ///< [bed]: what the counts say little about
};

/// `start`, `arrival`, `reproduction`, `mortality`, `enemies`, `movement`, `efficacy`, `clumping`: the catalogue's `unknown.…`.
std::string_view word_for(population::Unknown unknown);
/// `stays`, `goes_to_neighbours`, `leaves`: the catalogue's `movement.…`.
std::string_view word_for(population::Movement movement);
/// By dossier id.
using GardenNumbers = std::map<std::string, PestNumbers>;

}  // namespace leafturn::decision
