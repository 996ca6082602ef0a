#pragma once
/// What of an outlook presses most: when a published threshold is passed, and every pest of every bed in that order.

#include <optional>
#include <vector>

#include "app/outlook.hpp"

namespace leafturn::app {

struct Passing {
  Date on;
  double chance = 0.0;
  bool likely = false;  ///< likelier than not: the brief's cut point (common practice, no source)
};

/// The first day on which the threshold is likelier than not to be passed; else the day on which that is likeliest. Nothing without a
/// threshold that counts per plant, or on no day a host.
std::optional<Passing> passing(const PestInBed& pest);

struct Placed {
  const OutlookBed* bed = nullptr;
  const PestInBed* pest = nullptr;
};

/// Points into `answer`. Counted in the bed before those only believed; then likely passings by day, the others by chance; then those
/// without a threshold, most expected first. What is alike stays in the order of the beds.
std::vector<Placed> worst_first(const OutlookAnswer& answer);

}  // namespace leafturn::app
