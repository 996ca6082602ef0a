#pragma once
/// Mode-of-action groups as resistance management counts them.

#include <string>
#include <string_view>
#include <vector>

#include "core/label/card.hpp"

namespace leafturn::label {

/// The group that counts against resistance: `1A` and `1B` are one, so are other subgroups of a number; `UN…`, `NC` and 'none' don't count
/// and give nothing (spray-practice.md 7, from S129).
std::string counted_group(std::string_view mode_of_action);
std::vector<std::string> counted_groups(const std::vector<Active>& actives);
/// Is there an active whose group nobody copied, so that it could be any?
bool group_unknown(const std::vector<Active>& actives);
bool share_a_group(const std::vector<std::string>& a, const std::vector<std::string>& b);

}  // namespace leafturn::label
