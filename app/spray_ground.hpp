#pragma once
/// What every question about spraying in a garden rests on.

#include <optional>
#include <string>

#include "app/open_garden.hpp"
#include "core/label/card.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::app {

struct SprayGround {
  garden::Garden state;
  Zone zone;
  Instant at;
  label::Card card;  ///< the latest copied of the product
  weather::Site site;
  std::optional<std::string> crop;  ///< of the first planting that stands there
  bool cucurbit = false;            ///< a squash, cucumber, melon or gourd stands there
};

/// Errors: `spray_hours.no_place`, `garden.no_such_bed`, `treat.no_such_card`.
Result<SprayGround> spray_ground(OpenGarden& garden, garden::Garden state, const std::string& bed, const std::string& product, Instant at);

/// A crop of group 9 of 40 CFR 180.41.
bool is_cucurbit(const pest::Library& library, const std::string& eppo);

/// `yes`, `no`; empty or absent is not told. Errors: `spray_hours.yes_no`.
Result<std::optional<bool>> yes_no(const std::optional<std::string>& text, const char* field);

}  // namespace leafturn::app
