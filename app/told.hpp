#pragma once
/// What only who stands there can say, as typed on the command line.

#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/garden/told.hpp"

namespace leafturn::app {

/// All of it may be left out; `yes` and `no` where it is a question.
struct ToldTyped {
  std::optional<std::string> flowers, produce, organic, enclosed, nearest_person, nozzle_height, droplets;
  bool family = false;
  std::optional<std::string> adult, trained, licensed;
  std::vector<std::string> wearing;
};
/// Errors: `write.told` (a word that isn't one), `spray_hours.yes_no`, `quantity.…`.
Result<garden::Told> told_of(const ToldTyped& typed);

}  // namespace leafturn::app
