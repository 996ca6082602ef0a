#pragma once
/// What every fuzz target asks: no crash, no broken promise, and an error that people can read in both languages.

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "words/catalogue.hpp"

namespace leafturn::fuzz {

inline void require(bool law, const char* which) {
  if (law) return;
  std::fprintf(stderr, "broken: %s\n", which);
  std::abort();
}

inline bool marked(std::string_view text) { return text.find("⟦") != std::string_view::npos; }

inline void readable(const Error& error) {
  // The input may hold the mark itself.
  for (const auto& fact : error.facts)
    if (const auto* text = std::get_if<std::string>(&fact.value); text != nullptr && marked(*text)) return;
  if (marked(error.where.field)) return;
  for (const auto language : {words::Language::en, words::Language::es}) {
    const std::string text = words::say_error(error, {language, garden::Units::metric});
    if (marked(text)) std::fprintf(stderr, "%s\n", text.c_str());
    require(!marked(text), "every error has its words and facts");
  }
}

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) { return {reinterpret_cast<const char*>(data), size}; }

/// Cuts the input at its first byte 0xFF: what is before, and what is after.
inline std::string_view take_part(std::string_view& rest) {
  const std::size_t end = rest.find('\xFF');
  const std::string_view part = rest.substr(0, end);
  rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
  return part;
}

}  // namespace leafturn::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
