#include "core/base/ids.hpp"

namespace leafturn {
namespace {

constexpr char hex_digits[] = "0123456789abcdef";

int nibble(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

template <std::size_t N>
std::string to_hex(const std::array<std::uint8_t, N>& bytes) {
  std::string text;
  text.reserve(2 * N);
  for (const std::uint8_t b : bytes) {
    text += hex_digits[b >> 4];
    text += hex_digits[b & 15];
  }
  return text;
}

template <std::size_t N>
bool from_hex(std::string_view text, std::array<std::uint8_t, N>& bytes) {
  if (text.size() != 2 * N) return false;
  for (std::size_t i = 0; i < N; ++i) {
    const int high = nibble(text[2 * i]);
    const int low = nibble(text[2 * i + 1]);
    if (high < 0 || low < 0) return false;
    bytes[i] = static_cast<std::uint8_t>(high * 16 + low);
  }
  return true;
}

constexpr std::array<std::size_t, 4> dashes{8, 12, 16, 20};  // in hex digits

}  // namespace

std::string Id::text() const {
  std::string text = to_hex(bytes);
  for (std::size_t i = dashes.size(); i-- > 0;) text.insert(dashes[i], 1, '-');
  return text;
}

std::optional<Id> Id::parse(std::string_view text) {
  if (text.size() != 36) return std::nullopt;
  std::string hex;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool dash_here = i == 8 || i == 13 || i == 18 || i == 23;
    if (dash_here != (text[i] == '-')) return std::nullopt;
    if (!dash_here) hex += text[i];
  }
  Id id;
  if (!from_hex(std::string_view{hex}, id.bytes)) return std::nullopt;
  return id;
}

Id Id::version7(std::uint64_t unix_milliseconds, const std::array<std::uint8_t, 10>& random) {
  Id id;
  for (std::size_t i = 0; i < 6; ++i) id.bytes[i] = static_cast<std::uint8_t>(unix_milliseconds >> (40 - 8 * i));
  for (std::size_t i = 0; i < random.size(); ++i) id.bytes[6 + i] = random[i];
  id.bytes[6] = static_cast<std::uint8_t>(0x70 | (id.bytes[6] & 0x0f));
  id.bytes[8] = static_cast<std::uint8_t>(0x80 | (id.bytes[8] & 0x3f));
  return id;
}

std::string Digest::hex() const { return to_hex(bytes); }

std::optional<Digest> Digest::parse(std::string_view hex) {
  Digest digest;
  if (!from_hex(hex, digest.bytes)) return std::nullopt;
  return digest;
}

}  // namespace leafturn
