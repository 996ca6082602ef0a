#pragma once
/// Today's work handed out: who does what, in whose minutes. What isn't known of a person is never taken to be so.

#include <optional>
#include <string>
#include <vector>

#include "core/base/fact.hpp"

namespace leafturn::decision {

/// What a task asks of whoever does it. Spraying is for adults trained for it, whatever else they may do.
enum class Skill { pick, work, count, spray };

struct Task {
  std::string bed;
  Skill skill = Skill::work;
  int minutes = 0;
  Reason what;
  bool closed = false;  ///< the bed may not be entered today: nobody is sent there
};

struct Hand {
  std::string name;
  std::vector<Skill> skills;  ///< what the person's role may write down
  std::optional<bool> adult;
  bool trained = false;        ///< for handling sprays, today
  std::optional<int> minutes;  ///< a day's; not known: no card is made
};

struct CrewCard {
  Hand hand;
  std::vector<Task> tasks;
  int minutes = 0;
};
/// A task nobody is given, and why: `crew.bed_closed`, `crew.nobody_trained`, `crew.nobody`, `crew.no_minutes`.
struct LeftOver {
  Task task;
  Reason why;
};
struct Crew {
  std::vector<CrewCard> cards;  ///< of everybody whose minutes are known, in the order given
  std::vector<LeftOver> left;
};

/// Tasks in their order, most pressing first; each goes to whoever may do it, has the minutes, and has the fewest other skills, so that
/// those who can do more stay free for it; among equals, to the one with the most minutes left.
Crew hand_out(const std::vector<Task>& tasks, const std::vector<Hand>& hands);
/// May this person do it, by what is known?
bool may_do(const Hand& hand, Skill skill);

}  // namespace leafturn::decision
