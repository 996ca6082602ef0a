#pragma once
/// Who may do what. The whole of it is one table (docs/access.md shows it to people); pages and routes only ask.

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "core/garden/event.hpp"

namespace leafturn::app {

enum class Role { lead, applicator, scout, picker, reader };
inline constexpr std::array all_roles{Role::lead, Role::applicator, Role::scout, Role::picker, Role::reader};

enum class Action {
  anyone,         ///< what a device needs before it is paired; nothing about the garden
  paired,         ///< who am I, sign out, is there news
  see_board,      ///< what may be picked and entered, until when
  see_records,    ///< sprays, harvests and entries as records, with who did them and where they live
  see_garden,     ///< advice, beds, weather, the ledger's entries
  write,          ///< some kind of event; which one is asked again by action_of
  write_count,    ///< what was counted
  write_work,     ///< work without a product that leaves the crop standing
  write_harvest,  ///< what was picked, what will be
  treat,          ///< ask what a card allows, plan a spray, tell one that was made
  lay_out,        ///< the garden, beds, plantings, pulling, cards, weather files
  release_bed,    ///< lift the lock of an application outside the label
  manage_people,  ///< people, their roles, their devices
};
inline constexpr std::array all_actions{Action::anyone,        Action::paired, Action::see_board,   Action::see_records,
                                        Action::see_garden,    Action::write,  Action::write_count, Action::write_work,
                                        Action::write_harvest, Action::treat,  Action::lay_out,     Action::release_bed,
                                        Action::manage_people};

bool may(Role role, Action action);
std::vector<Action> actions_of(Role role);

/// Which action writes such a thing down. Of an amendment: of what it puts in place; of a bare withdrawal, `write`. The action of the event
/// it puts right has to be asked too.
Action action_of(const garden::Payload& payload);

std::string_view word_for(Role role);      ///< `scout`
std::string_view word_for(Action action);  ///< `write_count`
std::optional<Role> parse_role(std::string_view word);

}  // namespace leafturn::app
