#pragma once
/// Shared by the fault runs.

#include <map>
#include <random>

#include "store/ledger.hpp"
#include "tests/store/faults/runs.hpp"

namespace leafturn::store::faults {

inline Instant event_time(std::uint64_t n) {
  return Instant::from_unix_microseconds(1'780'000'000'000'000) + Duration::seconds(static_cast<std::int64_t>(n));
}

/// Who writes at once, each its own events through the same ledger.
inline constexpr int clients = 8;

/// `count` events from the `first`-th of the writer on, each from some bytes to some kilobytes long.
inline std::vector<Envelope> some_events(std::mt19937_64& random, std::uint64_t first, std::uint64_t count,
                                         const std::string& writer = "writer") {
  std::vector<Envelope> batch;
  for (std::uint64_t n = first; n < first + count; ++n) {
    std::array<std::uint8_t, 10> tail{};
    for (auto& b : tail) b = static_cast<std::uint8_t>(random());
    const std::size_t length = random() % 8 == 0 ? 200 + random() % 9000 : 40 + random() % 400;
    batch.push_back(
        {Id::version7(1'780'000'000'000 + n, tail), writer, n, event_time(n), std::string(length, static_cast<char>('a' + n % 26))});
  }
  return batch;
}

inline std::string told(const Error& error) {
  std::string text = error.code;
  for (const Fact& fact : error.facts)
    if (const auto* words = std::get_if<std::string>(&fact.value)) text += " " + *words;
  return text;
}

/// Is everything acknowledged there, and is the chain whole?
inline void look_for(const std::vector<Receipt>& acknowledged, const Result<std::unique_ptr<Ledger>>& ledger, Outcome& outcome) {
  const auto gone = [&](const std::string& why) {
    ++outcome.damaged;
    outcome.lost += acknowledged.size();
    outcome.notes.push_back(why);
  };
  if (!ledger) return gone("does not open: " + told(ledger.error()));
  const auto entries = (*ledger)->read(1);
  if (!entries) return gone("cannot be read: " + entries.error().code);
  std::map<Id, Receipt> there;
  for (const Entry& e : *entries) there[e.envelope.id] = {e.envelope.id, e.seq, e.link, Receipt::Kind::appended};
  for (const Receipt& r : acknowledged) {
    const auto found = there.find(r.id);
    if (found == there.end() || found->second.seq != r.seq || found->second.link != r.link) ++outcome.lost;
  }
  const auto verified = (*ledger)->verify();
  if (!verified || !verified->intact) {
    ++outcome.damaged;
    outcome.notes.push_back("verify: " + (verified ? verified->damage->code : verified.error().code));
  }
}

}  // namespace leafturn::store::faults
