#include "app/crew.hpp"

#include <algorithm>

#include "core/decision/clearance.hpp"

namespace leafturn::app {
namespace {

using decision::Skill;
using decision::Task;

// Common practice, no source: a bed picked over, a bed sprayed with what goes before and after.
constexpr int picking = 20;
constexpr int spraying = 45;

const decision::BedBrief* bed_of(const decision::Brief& brief, const std::string& bed) {
  const auto found = std::find_if(brief.beds.begin(), brief.beds.end(), [&](const auto& b) { return b.bed == bed; });
  return found == brief.beds.end() ? nullptr : &*found;
}

std::vector<Task> tasks_of(const BriefAnswer& answer) {
  std::vector<Task> tasks;
  const auto add = [&](const std::string& bed, Skill skill, int minutes, Reason what, bool picks = false) {
    const auto* b = bed_of(answer.brief, bed);
    const bool closed = b == nullptr || !b->entry.clear || (picks && !b->harvest.clear);
    tasks.push_back({bed, skill, minutes, std::move(what), closed});
  };
  for (const auto& a : answer.garden.applications) {
    const bool today = a.what.state == garden::Application::State::planned && answer.zone.civil(a.at).date == answer.brief.day &&
                       !decision::plan_finished(answer.garden, a.id);
    // A plan closes its bed to everybody but who carries it out.
    if (today)
      tasks.push_back({a.what.bed, Skill::spray, spraying, {"crew.task.spray", {{"bed", a.what.bed}, {"product", a.what.product}}}, false});
  }
  for (const auto& bed : answer.brief.beds) {
    const auto hand = std::find_if(bed.options.begin(), bed.options.end(),
                                   [](const auto& o) { return o.means == "hand-pick" || o.means == "crush-eggs"; });
    if (bed.urgency == decision::Urgency::act && hand != bed.options.end() && hand->minutes > 0)
      add(bed.bed, Skill::work, hand->minutes,
          {"crew.task." + std::string(hand->means == "hand-pick" ? "hand_pick" : "crush_eggs"),
           {{"bed", bed.bed}, {"pest", Term{"pest." + hand->pest + ".name"}}}});
  }
  for (const auto& visit : answer.brief.walk)
    add(visit.bed, Skill::count, visit.minutes,
        {"crew.task.count", {{"bed", visit.bed}, {"pest", Term{"pest." + visit.pest + ".name"}}, {"plants", std::int64_t{visit.plants}}}});
  for (const auto& planned : answer.garden.planned_harvests) {
    const auto* planting = answer.garden.planting(planned.what.planting);
    if (planned.what.day == answer.brief.day && planting != nullptr && !planting->removed)
      add(planting->sown.bed, Skill::pick, picking,
          {"crew.task.pick", {{"bed", planting->sown.bed}, {"crop", Term{"crop." + planting->sown.crop}}}}, true);
  }
  return tasks;
}

decision::Hand hand_of(const Person& person, const std::map<std::string, Particulars>& particulars, Date day) {
  decision::Hand hand;
  hand.name = person.name;
  if (may(person.role, Action::write_harvest)) hand.skills.push_back(Skill::pick);
  if (may(person.role, Action::write_work)) hand.skills.push_back(Skill::work);
  if (may(person.role, Action::write_count)) hand.skills.push_back(Skill::count);
  if (may(person.role, Action::treat)) hand.skills.push_back(Skill::spray);
  if (const auto kept = particulars.find(person.id.text()); kept != particulars.end()) {
    hand.adult = kept->second.adult;
    hand.trained = kept->second.trained_until && *kept->second.trained_until >= day;
    hand.minutes = kept->second.minutes;
  }
  return hand;
}

}  // namespace

Result<CrewAnswer> crew(OpenGarden& garden, Access& access, const BriefAnswer& brief) {
  auto stamp = stamp_of(garden, brief.garden, brief.brief.at);
  if (!stamp) return fail(stamp.error());
  const auto people = access.people();
  if (!people) return fail(people.error());
  const auto particulars = access.particulars();
  if (!particulars) return fail(particulars.error());
  CrewAnswer answer{std::move(*stamp), brief.brief.day, {}, {}};
  std::vector<decision::Hand> hands;
  for (const auto& person : *people) {
    if (person.erased) continue;
    hands.push_back(hand_of(person, *particulars, answer.day));
    if (!hands.back().minutes) answer.no_minutes.push_back(person.name);
  }
  answer.crew = decision::hand_out(tasks_of(brief), hands);
  return answer;
}

}  // namespace leafturn::app
