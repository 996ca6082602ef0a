#pragma once
/// Secrets made, kept and compared: libsodium behind a few words, so that no other room handles raw cryptography.

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "core/base/ids.hpp"
#include "core/base/result.hpp"

namespace leafturn::store {

/// 32 bytes of the kernel's generator.
Digest random_digest();
/// 64 hexadecimal digits: 256 random bits, never to be guessed.
std::string fresh_secret();
/// Eight of the 32 letters and digits that people don't confuse (no I, L, O, U): 40 random bits, short enough to be typed.
std::string fresh_code();
/// A code as typed, as it was made: upper case, without spaces and dashes, O read as 0, I and L as 1. Empty when it can't be one.
std::string plain_code(std::string_view typed);

/// What is kept of a code instead of the code: Argon2id (RFC 9106), 64 MB and 2 passes; slow on purpose. One at a time, so that
/// many who guess don't fill the memory. Error: `access.no_memory`.
using Salt = std::array<std::uint8_t, 16>;
Salt fresh_salt();
Result<Digest> slow_digest(std::string_view code, const Salt& salt);

/// Equal, in a time that doesn't tell where they differ.
bool same_secret(std::string_view a, std::string_view b);

}  // namespace leafturn::store
