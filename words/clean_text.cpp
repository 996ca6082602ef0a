#include "words/clean_text.hpp"

#include <cstdint>

namespace leafturn::words {
namespace {

/// Length of the well-formed UTF-8 character at the start of `text` (RFC 3629: shortest form, no surrogates, up to U+10FFFF); 0 for none.
std::size_t character_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || text.size() < length) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if (byte(i) < 0x80 || byte(i) > 0xBF) return 0;
  const std::uint8_t second = byte(1);
  const bool bad_second = (first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F) || (first == 0xF0 && second < 0x90) ||
                          (first == 0xF4 && second > 0x8F);
  return bad_second ? 0 : length;
}

bool is_control(std::string_view character) {
  const auto first = static_cast<std::uint8_t>(character[0]);
  if (character.size() == 1) return first < 0x20 || first == 0x7F;
  return first == 0xC2 && static_cast<std::uint8_t>(character[1]) < 0xA0;  // U+0080–U+009F
}

}  // namespace

std::string clean_text(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const std::size_t length = character_length(text);
    const std::string_view character = text.substr(0, length == 0 ? 1 : length);
    if (character == "\n" || character == "\r" || character == "\t") {
      out += ' ';
    } else if (length == 0 || is_control(character)) {
      out += "\xEF\xBF\xBD";
    } else {
      out += character;
    }
    text.remove_prefix(character.size());
  }
  return out;
}

}  // namespace leafturn::words
