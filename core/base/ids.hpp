#pragma once
/// 16-byte ids (RFC 9562 UUIDs) and 32-byte digests as values.

#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace leafturn {

/// A UUID. Events use version 7 (time-ordered), made by whoever writes the event.
struct Id {
  std::array<std::uint8_t, 16> bytes{};
  /// `0190…-…` with dashes, lower case.
  std::string text() const;
  static std::optional<Id> parse(std::string_view text);
  /// Version 7 from a millisecond time and 10 random bytes (RFC 9562 §5.7).
  static Id version7(std::uint64_t unix_milliseconds, const std::array<std::uint8_t, 10>& random);
  friend auto operator<=>(const Id&, const Id&) = default;
};

/// A SHA-256 digest (FIPS 180-4).
struct Digest {
  std::array<std::uint8_t, 32> bytes{};
  std::string hex() const;
  static std::optional<Digest> parse(std::string_view hex);
  friend auto operator<=>(const Digest&, const Digest&) = default;
};

}  // namespace leafturn
