#pragma once
/// Small helpers of the store's tests.

#include <gtest/gtest.h>

#include <string>

#include "store/ledger.hpp"
#include "tests/support/data.hpp"

namespace leafturn::store::test {

using leafturn::test::fresh_folder;
using leafturn::test::read_file;
using leafturn::test::source_path;

inline Instant at_hour(int hour) { return Instant::from_unix_microseconds(1'780'000'000'000'000) + Duration::hours(hour); }

inline Id id_number(std::uint8_t n, std::uint8_t tail = 0) { return Id::version7(1'780'000'000'000ULL, {n, 0, 0, 0, 0, 0, 0, 0, 0, tail}); }

/// The n-th event of writer `shed`.
inline Envelope envelope(std::uint8_t n, const std::string& body = "a count of eggs") {
  return {id_number(n), "shed", n, at_hour(n), "{\"note\":\"" + body + " " + std::to_string(n) + "\"}"};
}

inline void append_some(Ledger& ledger, std::uint8_t first, std::uint8_t last) {
  for (std::uint8_t n = first; n <= last; ++n) {
    const Envelope one = envelope(n);
    const auto receipts = ledger.append({&one, 1}, at_hour(100 + n));
    ASSERT_TRUE(receipts) << receipts.error().code;
  }
}

/// Fails the test with the error's code instead of crashing on it.
template <class T>
T must(Result<T> result, const char* what = "") {
  if (!result) {
    ADD_FAILURE() << what << ": " << result.error().code << " (" << result.error().where.file << ")";
    throw std::runtime_error(result.error().code);
  }
  return std::move(*result);
}

}  // namespace leafturn::store::test
