#include "store/secret.hpp"

#include <sodium.h>

#include <algorithm>
#include <exception>
#include <mutex>

namespace leafturn::store {
namespace {

constexpr std::string_view letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr std::size_t code_length = 8;

/// Without its generator the library could only make guessable secrets.
void ready() {
  if (sodium_init() < 0) std::terminate();
}

}  // namespace

Digest random_digest() {
  ready();
  Digest digest;
  randombytes_buf(digest.bytes.data(), digest.bytes.size());
  return digest;
}

std::string fresh_secret() { return random_digest().hex(); }

std::string fresh_code() {
  ready();
  std::string code(code_length, ' ');
  for (char& c : code) c = letters[randombytes_uniform(static_cast<std::uint32_t>(letters.size()))];
  return code;
}

std::string plain_code(std::string_view typed) {
  std::string code;
  for (char c : typed) {
    if (c == ' ' || c == '-') continue;
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    if (c == 'O') c = '0';
    if (c == 'I' || c == 'L') c = '1';
    if (letters.find(c) == std::string_view::npos || code.size() == code_length) return {};
    code += c;
  }
  return code.size() == code_length ? code : std::string{};
}

Salt fresh_salt() {
  ready();
  Salt salt;
  static_assert(std::tuple_size_v<Salt> == crypto_pwhash_SALTBYTES);
  randombytes_buf(salt.data(), salt.size());
  return salt;
}

Result<Digest> slow_digest(std::string_view code, const Salt& salt) {
  ready();
  static std::mutex one_at_a_time;
  const std::lock_guard lock(one_at_a_time);
  Digest digest;
  const int failed = crypto_pwhash(digest.bytes.data(), digest.bytes.size(), code.data(), code.size(), salt.data(),
                                   crypto_pwhash_OPSLIMIT_INTERACTIVE, crypto_pwhash_MEMLIMIT_INTERACTIVE, crypto_pwhash_ALG_ARGON2ID13);
  if (failed != 0) return fail("access.no_memory", {}, {}, ErrorKind::cannot);
  return digest;
}

bool same_secret(std::string_view a, std::string_view b) {
  return a.size() == b.size() && sodium_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace leafturn::store
