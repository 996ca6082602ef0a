#pragma once
/// The last look before a spray is begun: asked as often as one likes, and asked again when it is written down that it was begun.

#include <optional>
#include <string>

#include "app/open_garden.hpp"
#include "core/label/card.hpp"
#include "core/spray/start.hpp"

namespace leafturn::app {

/// As typed at the bed, with units: `5mph`, `21C`, `55%`; `yes` and `no`.
struct StartTyped {
  std::string bed, product;
  std::optional<std::string> wind, temperature, humidity, people_clear, in_flower, dry, dry_ahead, drought, overcast, nozzle_height;
  std::optional<std::string> plan;  ///< id of the plan that is to be begun: what was told with it counts
  std::optional<Instant> at;
};
struct StartAnswer {
  Instant at;
  std::string bed;
  garden::AtBed seen;
  label::Card card;
  Zone zone;
  spray::StartFound found;
};

/// Errors: `garden.no_such_bed`, `treat.no_such_card`, `spray_hours.no_place`, `spray_hours.yes_no`, those of the quantities.
Result<StartAnswer> spray_start(OpenGarden& garden, const StartTyped& typed, Instant now);
/// The same of a look already read, in the garden as it stands in `state`; `told`: with the plan.
Result<StartAnswer> start_answer(OpenGarden& garden, const garden::Garden& state, const std::string& bed, const std::string& product,
                                 const garden::AtBed& seen, Instant at, const garden::Told& told);
/// Errors: `spray_hours.yes_no`, those of the quantities, by the field's name.
Result<garden::AtBed> at_bed_of(const StartTyped& typed);

}  // namespace leafturn::app
