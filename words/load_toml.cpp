#include "words/load_toml.hpp"

#include <toml++/toml.h>

#include "embedded/words.hpp"

namespace leafturn::words {
namespace {

void add_table(const toml::table& table, const std::string& prefix, std::string_view file, Loaded& into) {
  for (const auto& [key, node] : table) {
    const std::string path = prefix + std::string(key.str());
    if (const auto* inner = node.as_table()) {
      add_table(*inner, path + ".", file, into);
    } else if (const auto* text = node.as_string()) {
      if (!into.entries.emplace(path, text->get()).second) into.problems.push_back(std::string(file) + ": " + path + " is there twice");
    } else {
      into.problems.push_back(std::string(file) + ": " + path + " is not a text");
    }
  }
}

}  // namespace

void add_file(std::string_view name, std::string_view toml, Loaded& into) {
  try {
    add_table(toml::parse(toml, name), "", name, into);
  } catch (const toml::parse_error& e) {
    into.problems.push_back(std::string(name) + ": line " + std::to_string(e.source().begin.line) + ": " + std::string(e.description()));
  }
}

Loaded load_language(std::string_view language) {
  Loaded loaded;
  const std::string folder = "words/" + std::string(language) + "/";
  for (const auto& file : embedded::words())
    if (file.name.substr(0, folder.size()) == folder) add_file(file.name, file.bytes, loaded);
  return loaded;
}

}  // namespace leafturn::words
