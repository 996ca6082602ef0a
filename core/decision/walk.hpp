#pragma once
/// Which leaves to turn over today, and which beds to leave alone.

#include "core/decision/bed_brief.hpp"

namespace leafturn::decision {

inline constexpr std::size_t most_visits = 3;

/// At most three, one per bed, clean beds before infested ones (so that nothing is carried from one to the other).
std::vector<Visit> walk(const Context& context, const std::vector<BedParts>& beds);
std::vector<LeftAlone> left_alone(const std::vector<BedParts>& beds, const std::vector<Visit>& visits);
/// The count that would move the advice most: where being past the threshold is least settled.
std::optional<Visit> deciding_count(const Context& context, const std::vector<BedParts>& beds);

}  // namespace leafturn::decision
