#pragma once
/// The morning brief of a garden, and the shed board, which is the same brief seen from the shed door.

#include <map>

#include "app/open_garden.hpp"
#include "core/decision/brief.hpp"
#include "core/label/card.hpp"

namespace leafturn::app {

/// A brief with what is needed to say it: the cards by digest, the zone, the garden it speaks of.
struct BriefAnswer {
  decision::Brief brief;
  garden::Garden garden;
  std::map<Digest, label::Card> cards;
  Zone zone;
  garden::Units units = garden::Units::metric;
};

/// `at` absent: the garden's own day, else `now`. Only weather and events from before that time are used.
Result<BriefAnswer> brief(OpenGarden& garden, std::optional<Instant> at, Instant now);

}  // namespace leafturn::app
