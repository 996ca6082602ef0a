#pragma once
/// From words to a command and its arguments.

#include <string>
#include <vector>

#include "cli/command.hpp"

namespace leafturn::cli {

struct Parsed {
  const Command* command = nullptr;
  Arguments arguments;
  bool json = false;
};

/// `words`: the command line without the program's name. Errors: `usage.no_command`, `usage.unknown_command`, `usage.unknown_option`,
/// `usage.required`, `usage.value_missing`, `usage.twice`, `usage.too_many`; `where.field` is the command.
Result<Parsed> parse(const std::vector<std::string>& words);

/// What the words before parsing already tell: the language asked for and whether help is wanted, and of what.
struct FirstLook {
  std::optional<std::string> language;
  bool help = false;
  std::string path;               ///< the command's words: `ledger verify`, `ledger`, or empty
  std::string stray;              ///< the first word that could have gone on with the path and doesn't
  std::vector<std::string> rest;  ///< everything but the path
};
FirstLook first_look(const std::vector<std::string>& words);

}  // namespace leafturn::cli
