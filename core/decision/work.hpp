#pragma once
/// What was done in a bed against a pest since the season began, with what is published of it.

#include <optional>
#include <string_view>
#include <vector>

#include "core/decision/brief.hpp"
#include "core/decision/carry.hpp"

namespace leafturn::decision {

/// Hand work and sprays with a published effect, in the order of the garden's lists. What has none takes nothing off.
std::vector<WorkEffect> work_done(const BriefRequest& request, std::string_view bed, const pest::Dossier& dossier);

/// When the bed was last pulled by `until`.
std::optional<Instant> last_pull(const garden::Garden& garden, std::string_view bed, Instant until);

}  // namespace leafturn::decision
