#include "core/decision/proposal.hpp"

namespace leafturn::decision {

std::vector<label::Moment> harvests_from(const garden::Garden& garden, const garden::Planting& planting, Date day) {
  std::vector<label::Moment> days;
  for (const auto& plan : garden.planned_harvests)
    if (plan.what.planting == planting.sown.planting && plan.what.day >= day) days.push_back({{plan.what.day, 0}, true});
  if (planting.sown.first_harvest && *planting.sown.first_harvest > day) days.push_back({{*planting.sown.first_harvest, 0}, true});
  return days;
}

namespace {

std::vector<label::Past> history_of(const garden::Garden& garden, const Zone& zone, const std::string& bed) {
  std::vector<label::Past> past;
  for (const auto& a : garden.applications)
    if (a.what.bed == bed && a.what.state == garden::Application::State::made) past.push_back({zone.civil(a.at).date, a.what.product});
  return past;
}

}  // namespace

label::Proposal proposal_for(const garden::Garden& garden, const Zone& zone, const garden::Planting& planting, Instant on,
                             std::optional<label::ProductRate> rate) {
  label::Proposal proposal;
  proposal.crop = planting.sown.crop;
  proposal.on = {zone.civil(on), false};
  proposal.zone = &zone;
  proposal.rate = std::move(rate);
  proposal.harvests = harvests_from(garden, planting, proposal.on.time.date);
  if (garden.described) proposal.setting = garden.described->setting;
  proposal.history = history_of(garden, zone, planting.sown.bed);
  return proposal;
}

int severity(label::Verdict verdict) {
  switch (verdict) {
    case label::Verdict::allowed:
      return 0;
    case label::Verdict::conditional:
      return 1;
    case label::Verdict::unknown:
      return 2;
    case label::Verdict::refused:
      return 3;
  }
  return 3;
}

}  // namespace leafturn::decision
