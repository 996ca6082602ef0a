#include "cli/parse.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <deque>

namespace leafturn::cli {
namespace {

/// The words of a command that the library fills, kept at fixed addresses while it runs.
struct Slot {
  const Option* option = nullptr;
  std::vector<std::string> values;
  std::string value;  ///< of a positional argument: a list would swallow those after it
  bool flag = false;
  CLI::Option* handle = nullptr;
};

tl::unexpected<Error> wrong(std::string code, std::string_view command, std::vector<Fact> facts) {
  const std::string name = command.empty() ? "leafturn" : "leafturn " + std::string(command);
  facts.push_back({"command", name});
  return fail(std::move(code), {{}, 0, name}, std::move(facts));
}

std::string shown(const Option& option) { return option.positional ? std::string(option.placeholder) : "--" + std::string(option.name); }

void add_option(CLI::App& app, Slot& slot) {
  const Option& option = *slot.option;
  const std::string name = option.positional ? std::string(option.name) : "--" + std::string(option.name);
  if (option.placeholder.empty()) {
    slot.handle = app.add_flag(name, slot.flag);
  } else if (option.positional) {
    slot.handle = app.add_option(name, slot.value);
  } else {
    slot.handle =
        app.add_option(name, slot.values)->expected(1)->allow_extra_args(false)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  }
}

/// `extras`: words that no option took.
Result<Parsed> collect(const Command& command, std::deque<Slot>& slots, const std::vector<std::string>& extras, bool json) {
  const std::string_view path = command.path;
  for (const auto& extra : extras)
    if (extra.size() > 1 && extra[0] == '-') return wrong("usage.unknown_option", path, {{"given", extra}});
  if (!extras.empty()) return wrong("usage.too_many", path, {{"given", extras.front()}});

  Parsed parsed{&command, {}, json};
  for (auto& slot : slots) {
    const Option& option = *slot.option;
    if (slot.handle->count() == 0) {
      if (option.required) return wrong("usage.required", path, {{"option", shown(option)}});
      continue;
    }
    if (option.positional) slot.values = {slot.value};
    if (!option.many && slot.values.size() > 1) return wrong("usage.twice", path, {{"option", shown(option)}});
    parsed.arguments.given[std::string(option.name)] = std::move(slot.values);
  }
  return parsed;
}

}  // namespace

Result<Parsed> parse(const std::vector<std::string>& words) {
  FirstLook look = first_look(words);
  const auto& all = commands();
  const auto command = std::find_if(all.begin(), all.end(), [&](const Command& one) { return one.path == look.path; });
  if (command == all.end()) {
    if (look.stray.empty()) return wrong("usage.no_command", look.path, {});
    return wrong(look.stray.front() == '-' ? "usage.unknown_option" : "usage.unknown_command", look.path, {{"given", look.stray}});
  }

  // Only the command asked for: a folder called `demo` is then a value like any other.
  CLI::App app;
  app.set_help_flag();
  app.allow_extras();
  bool json = false;
  std::vector<std::string> language;
  app.add_flag("--json", json);
  app.add_option("--lang", language)->expected(1)->allow_extra_args(false)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  std::deque<Slot> slots;
  for (const auto& option : command->options) {
    Slot& slot = slots.emplace_back();
    slot.option = &option;
    add_option(app, slot);
  }
  try {
    app.parse(std::vector<std::string>(look.rest.rbegin(), look.rest.rend()));
  } catch (const CLI::ArgumentMismatch& problem) {
    const std::string text = problem.what();
    return wrong("usage.value_missing", look.path, {{"option", text.substr(0, text.find(':'))}});
  } catch (const CLI::Error& problem) {
    return wrong("usage.other", look.path, {{"given", std::string(problem.what())}});
  }
  return collect(*command, slots, app.remaining(), json);
}

FirstLook first_look(const std::vector<std::string>& words) {
  FirstLook look;
  bool in_path = true;
  const auto& all = commands();
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& word = words[i];
    if (word == "--help" || word == "-h") look.help = true;
    if (word.rfind("--lang=", 0) == 0) look.language = word.substr(7);
    const bool is_option = !word.empty() && word[0] == '-';
    if (in_path && !is_option) {
      const std::string longer = look.path.empty() ? word : look.path + " " + word;
      in_path = std::any_of(all.begin(), all.end(),
                            [&](const Command& c) { return c.path == longer || c.path.substr(0, longer.size() + 1) == longer + " "; });
      if (in_path) {
        look.path = longer;
        continue;
      }
      look.stray = word;
    } else if (in_path && look.stray.empty() && word != "--json" && word != "--lang" && word.rfind("--lang=", 0) != 0) {
      look.stray = word;
    }
    look.rest.push_back(word);
    if (word == "--lang" && i + 1 < words.size()) {
      look.language = words[++i];
      look.rest.push_back(words[i]);
    }
  }
  return look;
}

}  // namespace leafturn::cli
