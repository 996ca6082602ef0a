#pragma once
/// What happens in the tank: in which order products go in, and how fast water of a pH breaks an active down.

#include <optional>
#include <string_view>

#include "core/base/date.hpp"
#include "core/pest/active.hpp"

namespace leafturn::spray {

/// Wettable powders and granules, agitate, liquid flowables, emulsifiable concentrates, solutions and surfactants; a buffer before any
/// product (spray-practice.md 4.3: the order from memory, the buffer seen S71).
enum class Step { buffer, powder, flowable, emulsion, solution };
/// By the formulation as labels abbreviate it: `WP`, `WDG`, `WG`, `DF`, `SP` · `SC`, `F`, `L`, `CS` · `EC`, `EW`, `oil` · `SL`, `S`,
/// `soap`. Nothing for one that isn't here, nor for what is used as it comes (`RTU`, granules, dusts, baits).
std::optional<Step> mixing_step(std::string_view formulation);
/// `powder`, `flowable` …: the word in the catalogue.
std::string_view word_for(Step step);

/// What is published at this pH, else at the next higher one: water at hand is taken to be no milder. Null: nothing published there.
const pest::Active::InWater* in_water(const pest::Active& active, double ph);
/// 2^(−t/t½), 1 at once. `half_life_hours` above 0.
double left_in_tank(double hours, double half_life_hours);

}  // namespace leafturn::spray
