#pragma once
/// An application as the garden knows it, ready to be judged: the planting's crop, what was sprayed there before, what is to be harvested.

#include <optional>
#include <string>
#include <vector>

#include "core/garden/garden.hpp"
#include "core/label/judge.hpp"

namespace leafturn::decision {

/// `on`: the application's end. History is the bed's own; harvests are those planned from that day on, and the first harvest when it is
/// still to come.
label::Proposal proposal_for(const garden::Garden& garden, const Zone& zone, const garden::Planting& planting, Instant on,
                             std::optional<label::ProductRate> rate);

/// Harvests planned from a day on, and the planting's first where it is still to come.
std::vector<label::Moment> harvests_from(const garden::Garden& garden, const garden::Planting& planting, Date day);

/// Worst last: allowed 0, conditional 1, unknown 2, refused 3.
int severity(label::Verdict verdict);
/// Allowed, or allowed on conditions that are shown.
inline bool may_go_ahead(label::Verdict verdict) { return severity(verdict) <= 1; }

}  // namespace leafturn::decision
