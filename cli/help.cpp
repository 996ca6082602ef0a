#include "cli/help.hpp"

#include <algorithm>

#include "cli/command.hpp"
#include "render/table.hpp"

namespace leafturn::cli {
namespace {

constexpr std::size_t page_width = 100;

std::string dashed(std::string_view path) {
  std::string key{path};
  std::replace(key.begin(), key.end(), ' ', '-');
  return key;
}

std::string about(std::string_view path, const words::Style& style) { return words::say_key("command." + dashed(path) + ".about", style); }

std::string meaning(const Command& command, const Option& option, const words::Style& style) {
  const std::string own = "command." + dashed(command.path) + "." + std::string(option.name);
  return words::say_key(words::has_key(own, style.language) ? own : "option." + std::string(option.name), style);
}

std::string shown(const Option& option) {
  if (option.positional) return std::string(option.placeholder);
  return "--" + std::string(option.name) + (option.placeholder.empty() ? "" : " " + std::string(option.placeholder));
}

std::string usage(const Command& command, const words::Style& style) {
  std::string line = "leafturn " + std::string(command.path);
  for (const auto& option : command.options)
    if (option.required) line += " " + shown(option);
  const bool more = std::any_of(command.options.begin(), command.options.end(), [](const Option& o) { return !o.required; });
  return line + (more ? " [" + words::say_key("cli.options", style) + "]" : "");
}

std::string list(const std::vector<std::pair<std::string, std::string>>& rows) {
  std::size_t width = 0;
  for (const auto& [name, text] : rows) width = std::max(width, render::columns(name));
  std::string out;
  for (const auto& [name, text] : rows)
    out += "  " + render::padded(name, width) + "  " + render::wrapped(text, page_width, width + 4) + "\n";
  return out;
}

std::string of_command(const Command& command, const words::Style& style) {
  std::string out = usage(command, style) + "\n\n" + render::wrapped(about(command.path, style), page_width, 0) + "\n\n";
  std::vector<std::pair<std::string, std::string>> rows;
  for (const auto& option : command.options)
    rows.emplace_back(shown(option),
                      meaning(command, option, style) + (option.required ? " " + words::say_key("cli.required", style) : ""));
  rows.emplace_back("--json", words::say_key("option.json", style));
  rows.emplace_back("--lang en|es", words::say_key("option.lang", style));
  rows.emplace_back("--help", words::say_key("option.help", style));
  out += list(rows) + "\n" + words::say_key("cli.example", style) + "\n";
  for (const auto& example : command.examples) out += "  " + std::string(example) + "\n";
  return out;
}

std::string of_family(std::string_view path, const words::Style& style) {
  std::vector<std::pair<std::string, std::string>> rows;
  for (const auto& command : commands())
    if (path.empty() || command.path.substr(0, path.size() + 1) == std::string(path) + " ")
      rows.emplace_back(std::string(command.path), about(command.path, style));
  const std::string top = path.empty() ? words::say_key("cli.about", style) : about(path, style);
  std::string name = "leafturn";
  if (!path.empty()) name += " " + std::string(path);
  return name + " " + words::say_key("cli.command", style) + " [" + words::say_key("cli.options", style) + "]\n\n" +
         render::wrapped(top, page_width, 0) + "\n\n" + list(rows) + "\n" +
         render::wrapped(words::say_key("cli.more_help", style), page_width, 0) + "\n";
}

}  // namespace

std::string help(std::string_view path, const words::Style& style) {
  for (const auto& command : commands())
    if (command.path == path) return of_command(command, style);
  return of_family(path, style);
}

}  // namespace leafturn::cli
