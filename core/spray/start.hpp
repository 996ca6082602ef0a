#pragma once
/// At the bed, before the first nozzle opens: what was measured there, held against the same limits as the hours. A forecast window is
/// never permission; this is the last gate, and what it doesn't know keeps it shut.

#include <optional>
#include <vector>

#include "core/garden/told.hpp"
#include "core/spray/hours.hpp"

namespace leafturn::spray {

struct StartFound {
  std::vector<LimitFound> limits;
  Length people;     ///< the distance kept free
  bool may = false;  ///< nothing stops and nothing is unknown; what warns is advice

  /// The first that isn't told; nothing else can be said before it is.
  const LimitFound* not_told() const;
  /// It isn't told because the card's line wasn't copied: no look at the bed can answer it.
  static bool not_copied(const LimitFound& found);
  /// The first that stops and that nobody may overrule: the label's, people within the distance.
  const LimitFound* forbidden() const;
  /// The first that stops by advice: it may be begun for a reason that is written down.
  const LimitFound* advised_against() const;
};

/// `people`: the distance kept free of them (label::exclusion_distance).
StartFound start_found(Instant at, const garden::AtBed& bed, const weather::Site& site, const SprayLimits& limits, Around around,
                       Length people);

}  // namespace leafturn::spray
