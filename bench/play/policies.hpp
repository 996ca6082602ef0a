#pragma once
/// Ways of running a true garden: leafturn's advice, a competent grower's, spraying by the calendar, nothing. Each plays a whole season of
/// the same garden, whose insects have the same luck whatever is done (tests/gardens).

#include <map>
#include <string>
#include <string_view>

#include "core/pest/dossier.hpp"
#include "tests/gardens/garden.hpp"

namespace leafturn::play {

enum class Policy { leafturn, competent, calendar, nothing };
std::string_view name_of(Policy policy);

/// What a season gave.
struct Season {
  double value = 0.0;       ///< of the crop without pests, invented money
  double lost_value = 0.0;  ///< to pests, to waiting after a spray, to pulling early
  double hours = 0.0;       ///< counting and handling
  int sprays = 0;
  int unlawful = 0;                 ///< sprays that the card in force refused
  std::map<std::string, int> acts;  ///< how often what was done, for whoever wonders
  double lost_share() const { return value > 0.0 ? lost_value / value : 0.0; }
};
Season play(gardens::Spec spec, Policy policy, const pest::Library& all);

}  // namespace leafturn::play
