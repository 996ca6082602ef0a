#include "core/base/text.hpp"

#include <cstdint>
#include <cstring>
#include <optional>

namespace leafturn {
namespace {

constexpr std::uint32_t least_of_length[] = {0, 0, 0x80, 0x800, 0x10000};

std::uint8_t byte_at(std::string_view bytes, std::size_t at) { return static_cast<std::uint8_t>(bytes[at]); }

/// The code point at `at`, which moves behind it.
std::optional<std::uint32_t> take_code_point(std::string_view bytes, std::size_t& at) {
  const std::uint8_t first = byte_at(bytes, at);
  if (first < 0x80) {
    ++at;
    return first;
  }
  const std::size_t length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
  if (first < 0xc0 || first > 0xf4 || at + length > bytes.size()) return std::nullopt;
  std::uint32_t point = first & (0x7fU >> length);
  for (std::size_t i = 1; i < length; ++i) {
    const std::uint8_t next = byte_at(bytes, at + i);
    if ((next & 0xc0) != 0x80) return std::nullopt;
    point = point << 6 | (next & 0x3fU);
  }
  const bool surrogate = point >= 0xd800 && point <= 0xdfff;
  if (point < least_of_length[length] || point > 0x10ffff || surrogate) return std::nullopt;
  at += length;
  return point;
}

bool is_control(std::uint32_t point) { return point < 0x20 || (point >= 0x7f && point <= 0x9f); }

}  // namespace

bool is_utf8(std::string_view bytes) {
  for (std::size_t at = 0; at < bytes.size();) {
    // Most text is ASCII: eight bytes at a time.
    std::uint64_t eight = 0;
    if (at + sizeof eight <= bytes.size()) {
      std::memcpy(&eight, bytes.data() + at, sizeof eight);
      if ((eight & 0x8080808080808080ULL) == 0) {
        at += sizeof eight;
        continue;
      }
    }
    if (!take_code_point(bytes, at)) return false;
  }
  return true;
}

bool is_plain_text(std::string_view bytes, bool lines) {
  for (std::size_t at = 0; at < bytes.size();) {
    const auto point = take_code_point(bytes, at);
    if (!point) return false;
    if (is_control(*point) && !(lines && (*point == '\n' || *point == '\t'))) return false;
  }
  return true;
}

}  // namespace leafturn
