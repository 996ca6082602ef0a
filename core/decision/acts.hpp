#pragma once
/// Everything that could be done about one pest in one bed in the next days, with what it would do there; and what may not be done, and
/// why.

#include <optional>
#include <string>
#include <vector>

#include "core/decision/economics.hpp"
#include "core/decision/options.hpp"
#include "core/population/world.hpp"

namespace leafturn::decision {

/// One thing that could be done.
struct Act {
  std::string means;           ///< `nothing`, `hand-pick`, `crush-eggs`, `water`, `cover`, `pull`, `harvest`, or the product of a card
  std::optional<Digest> card;  ///< sprays
  Date on;
  int order = 0;  ///< gentler first: −1 nothing, 0 prevent, 1 physical, 2 biological, 3 chemical, 4 rated from memory only
  std::vector<population::Deed> deeds;
  bool picks = false;                         ///< the crop is brought in: what comes later harms it no more
  bool forgoes = false;                       ///< what was still to be picked is given up
  double low = 0.0, high = 0.0;               ///< share removed where it was tried, of the stage present it works on best
  pest::Source source;                        ///< of the effect
  std::vector<std::string> stages;            ///< stages present that it works on
  std::optional<Money> cost;                  ///< of what is used up, where somebody said
  std::optional<int> minutes;                 ///< of work; common practice, no source
  std::optional<label::Judgement> judgement;  ///< sprays: at that day
  bool tried = false;                         ///< done here in the last ten days already
  std::vector<Reason> why;
};

struct Acts {
  std::vector<Act> possible;  ///< doing nothing first, then gentlest and earliest first
  std::vector<Act> refused;   ///< with why
};

/// What acts are made for.
struct ActsRequest {
  const BedContext* bed = nullptr;
  const pest::Dossier* dossier = nullptr;
  const garden::Planting* host = nullptr;
  const population::Life* life = nullptr;
  const population::World* world = nullptr;
  std::size_t place = 0;             ///< number of the bed in the world
  std::vector<std::size_t> present;  ///< stages that are there now or soon
  double found_per_plant = 0.0;      ///< for the minutes of hand work
  std::int32_t standard_offset = 0;  ///< seconds from UTC of the site's standard time
  int days = 3;                      ///< today and the days after it, for sprays
  bool organic = false;              ///< only what the card says may be used in organic growing
};

/// Hand work and pulling today, sprays on each of the days that label law leaves open (the same time of day), each only with a cited effect
/// on a stage present. Nothing is possible in a bed that may not be entered before the day is over, but waiting.
Acts acts_for(const ActsRequest& request);

/// The same deed at another time.
std::vector<population::Deed> at_step(std::vector<population::Deed> deeds, population::StepNumber at);

}  // namespace leafturn::decision
