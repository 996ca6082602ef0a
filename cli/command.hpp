#pragma once
/// What a command of the program is: its options as data, and a function that asks one use case and renders the answer.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "words/catalogue.hpp"

namespace leafturn::cli {

/// One option or positional argument. What it is for is said by the catalogue: `command.PATH.NAME` where the command has its own, else
/// `option.NAME`.
struct Option {
  std::string_view name;         ///< `lower` for `--lower`
  std::string_view placeholder;  ///< `T`; empty for a flag
  bool required = false;
  bool many = false;  ///< may be given several times
  bool positional = false;
};

/// What was given, by option name.
class Arguments {
 public:
  std::map<std::string, std::vector<std::string>, std::less<>> given;

  bool has(std::string_view name) const { return given.find(name) != given.end(); }
  std::optional<std::string> maybe(std::string_view name) const;
  /// Empty when it wasn't given.
  std::string text(std::string_view name) const { return maybe(name).value_or(std::string{}); }
  std::vector<std::string> all(std::string_view name) const;
};

struct Context {
  words::Style style;
  bool json = false;
  Instant now;
};

/// What a command leaves behind: the bytes for standard output, remarks for standard error, and whether the answer is 'no' (exit 1).
struct Answer {
  std::string output{};
  std::vector<std::string> remarks{};
  bool no = false;
};

struct Command {
  std::string_view path;  ///< `ledger verify`
  std::vector<Option> options;
  std::vector<std::string_view> examples;
  Result<Answer> (*run)(const Arguments&, const Context&);
};

/// Every command, in the order in which `--help` lists them.
const std::vector<Command>& commands();

/// `text` with the notes of a reader as remarks.
std::vector<std::string> remarks_of(const std::vector<Reason>& notes, const std::string& file, const Context& context);

}  // namespace leafturn::cli
