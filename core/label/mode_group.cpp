#include "core/label/mode_group.hpp"

#include <algorithm>

namespace leafturn::label {

std::string counted_group(std::string_view mode_of_action) {
  std::string digits;
  for (const char c : mode_of_action) {
    if (c == ' ' && digits.empty()) continue;
    if (c < '0' || c > '9') break;
    digits += c;
  }
  return digits;
}

std::vector<std::string> counted_groups(const std::vector<Active>& actives) {
  std::vector<std::string> groups;
  for (const Active& a : actives)
    if (std::string group = counted_group(a.mode_of_action); !group.empty()) groups.push_back(std::move(group));
  return groups;
}

bool group_unknown(const std::vector<Active>& actives) {
  return actives.empty() || std::any_of(actives.begin(), actives.end(), [](const Active& a) { return a.mode_of_action.empty(); });
}

bool share_a_group(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  return std::any_of(a.begin(), a.end(), [&](const std::string& group) { return std::find(b.begin(), b.end(), group) != b.end(); });
}

}  // namespace leafturn::label
