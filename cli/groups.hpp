#pragma once
/// The commands, by what they are about.

#include <vector>

#include "cli/command.hpp"

namespace leafturn::cli {

std::vector<Command> garden_commands();         ///< brief, outlook, serve, demo, garden import
std::vector<Command> decide_commands();         ///< compare, pull
std::vector<Command> writing_commands();        ///< count, planting, harvest, work, withdraw
std::vector<Command> spray_commands();          ///< spray …, release, judge
std::vector<Command> mixing_commands();         ///< calibrate, mix, windows
std::vector<Command> keeping_commands();        ///< equipment, catch-test, shelf …, enter
std::vector<Command> print_commands();          ///< records, print …
std::vector<Command> people_commands();         ///< people …, pair
std::vector<Command> ledger_commands();         ///< ledger …, doctor
std::vector<Command> weather_commands();        ///< weather check, weather show
std::vector<Command> weather_fetch_commands();  ///< weather add, weather fetch
std::vector<Command> science_commands();        ///< degree-days, development, season, sun, pest
std::vector<Command> dossier_commands();        ///< dossier …
std::vector<Command> develop_commands();        ///< develop fit

}  // namespace leafturn::cli
