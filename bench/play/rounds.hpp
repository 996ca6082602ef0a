#pragma once
/// What all policies share: when beds are looked at, what is counted, what is published, and whether a spray was lawful.

#include <optional>
#include <string>
#include <vector>

#include "bench/play/policies.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::play {

inline constexpr int visit_every = 7;    ///< days between looks at a bed
inline constexpr int recount_after = 3;  ///< days after something was done
inline constexpr int visit_plants = 20;
inline constexpr int leave_young = 4;  ///< days after setting out before the first look

/// A garden being played, with what its people keep in mind.
struct Played {
  gardens::Garden garden;
  Season season;
  std::vector<int> looked_on;   ///< [bed] last look, −1 never
  std::vector<int> look_again;  ///< [bed] day of the recount after something done, −1 none
  std::vector<int> tries;       ///< [bed] things done in a row that didn't bring it under the threshold
  explicit Played(gardens::Spec spec) : garden{gardens::make(spec)} {
    const auto beds = static_cast<std::size_t>(garden.beds());
    looked_on.assign(beds, -1);
    look_again.assign(beds, -1);
    tries.assign(beds, 0);
  }
};

/// What stands in a bed today; null when bare.
std::optional<gardens::History::Planting> standing(const Played& played, int bed);
/// Whether the bed is due for a look today.
bool due(const Played& played, int bed);
/// Counts all pests that live on what stands there, every stage people count.
void look_over(Played& played, int bed);

/// Sprays, and holds it against the card: crop, interval, harvest due inside the pre-harvest time before picking has begun.
void spray(Played& played, int bed, const gardens::Product& product);
/// Days since this product was last sprayed there are enough, and it doesn't run into the first harvest.
bool may_spray(const Played& played, int bed, const gardens::Product& product);
void by_hand(Played& played, int bed, bool pick, bool eggs);

}  // namespace leafturn::play
