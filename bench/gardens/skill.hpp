#pragma once
/// Forecasts of counts not yet taken in true gardens, and how they did.

#include <string>
#include <vector>

#include "core/pest/dossier.hpp"
#include "tests/gardens/garden.hpp"

namespace leafturn::bench {

/// One count that was foretold and then taken.
struct Foretold {
  std::size_t garden = 0;  ///< number in the run
  gardens::Kind kind = gardens::Kind::walkers;
  std::string pest, stage;
  int lead = 0;           ///< days
  int counts_before = 0;  ///< of this pest in this garden
  double mean = 0.0;
  int came = 0;
  double below = 0.0, up_to = 0.0;                                     ///< the forecast's probability of fewer, and of as many or fewer
  double population = 0.0, season = 0.0, walk = 0.0, phenology = 0.0;  ///< CRPS
  bool passed = false;                                                 ///< the gate, on that morning
};

struct SkillRun {
  std::size_t members = 512;
  int first_issue = 24;  ///< days after the garden's first count
  int between = 21;      ///< days between mornings on which forecasts are made
};

/// All forecasts made in one garden through its season.
std::vector<Foretold> foretell(gardens::Spec spec, std::size_t number, const pest::Library& library, const SkillRun& run);

inline constexpr int leads[] = {3, 7, 14};

}  // namespace leafturn::bench
