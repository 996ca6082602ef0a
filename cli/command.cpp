#include "cli/command.hpp"

#include "cli/groups.hpp"

namespace leafturn::cli {

std::optional<std::string> Arguments::maybe(std::string_view name) const {
  const auto it = given.find(name);
  if (it == given.end() || it->second.empty()) return std::nullopt;
  return it->second.front();
}

std::vector<std::string> Arguments::all(std::string_view name) const {
  const auto it = given.find(name);
  return it == given.end() ? std::vector<std::string>{} : it->second;
}

std::vector<std::string> remarks_of(const std::vector<Reason>& notes, const std::string& file, const Context& context) {
  std::vector<std::string> remarks;
  for (const auto& note : notes)
    remarks.push_back(words::say(note, context.style) + " (" + file + "): " + words::say_key("cli.note_to_do", context.style));
  return remarks;
}

const std::vector<Command>& commands() {
  static const std::vector<Command> all = [] {
    std::vector<Command> made;
    for (const auto& group :
         {garden_commands, decide_commands, writing_commands, spray_commands, mixing_commands, keeping_commands, print_commands,
          people_commands, ledger_commands, weather_commands, weather_fetch_commands, science_commands, develop_commands, dossier_commands})
      for (auto& command : group()) made.push_back(std::move(command));
    return made;
  }();
  return all;
}

}  // namespace leafturn::cli
