#include "server/names.hpp"

namespace leafturn::server {

Names::Names(app::Access& access, const words::Style& style) {
  const auto people = access.people();
  if (!people) return;
  for (const auto& person : *people) by_reference_[person.id.text()] = person.erased ? words::say_key("access.erased", style) : person.name;
}

std::string Names::shown(const std::string& by) const {
  const auto found = by_reference_.find(by);
  return found == by_reference_.end() ? by : found->second;
}

}  // namespace leafturn::server
