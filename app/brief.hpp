#pragma once
/// The morning brief of a garden, and the shed board, which is the same brief seen from the shed door.

#include <map>

#include "app/day_shelf.hpp"
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
/// `shelf`: what of the weather may be used again.
Result<BriefAnswer> brief(OpenGarden& garden, std::optional<Instant> at, Instant now, DayShelf* shelf = nullptr);

}  // namespace leafturn::app
