#pragma once
/// Reads the catalogue's files into flat keys.

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace leafturn::words {

using Entries = std::map<std::string, std::string, std::less<>>;

struct Loaded {
  Entries entries;
  std::vector<std::string> problems;  ///< `FILE: what is wrong`; tests/words wants none
};

/// One file's tables as dotted keys (`[error.weather] gap = "…"` is `error.weather.gap`), added to `into`. The first of two equal keys
/// holds.
void add_file(std::string_view name, std::string_view toml, Loaded& into);
/// The embedded files under words/LANGUAGE/.
Loaded load_language(std::string_view language);

}  // namespace leafturn::words
