#include "core/decision/crew.hpp"

#include <algorithm>

namespace leafturn::decision {

bool may_do(const Hand& hand, Skill skill) {
  if (std::find(hand.skills.begin(), hand.skills.end(), skill) == hand.skills.end()) return false;
  return skill != Skill::spray || (hand.adult == true && hand.trained);
}

Crew hand_out(const std::vector<Task>& tasks, const std::vector<Hand>& hands) {
  Crew crew;
  for (const Hand& hand : hands)
    if (hand.minutes) crew.cards.push_back({hand, {}, 0});
  for (const Task& task : tasks) {
    if (task.closed) {
      crew.left.push_back({task, {"crew.bed_closed", {{"bed", task.bed}}}});
      continue;
    }
    CrewCard* best = nullptr;
    bool anybody = false;
    const auto free = [](const CrewCard& card) { return *card.hand.minutes - card.minutes; };
    for (CrewCard& card : crew.cards) {
      if (!may_do(card.hand, task.skill)) continue;
      anybody = true;
      if (free(card) < task.minutes) continue;
      const bool better = best == nullptr || card.hand.skills.size() < best->hand.skills.size() ||
                          (card.hand.skills.size() == best->hand.skills.size() && free(card) > free(*best));
      if (better) best = &card;
    }
    if (best == nullptr) {
      const char* why = anybody ? "crew.no_minutes" : task.skill == Skill::spray ? "crew.nobody_trained" : "crew.nobody";
      crew.left.push_back({task, {why, {{"minutes", std::int64_t{task.minutes}}}}});
      continue;
    }
    best->tasks.push_back(task);
    best->minutes += task.minutes;
  }
  return crew;
}

}  // namespace leafturn::decision
