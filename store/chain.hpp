#pragma once
/// The chain's arithmetic, shared by every kind of ledger.

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "store/ledger.hpp"

namespace leafturn::store {

/// link(n) from link(n−1).
Digest next_link(const Digest& previous, std::uint64_t seq, Instant received, const Digest& event_hash);

/// SHA-256 over the envelope's own fields (id ‖ writer_seq ‖ happened_at ‖ writer): the chain covers the event's bytes, this covers the
/// copies of its heading that are kept beside them.
Digest heading_hash(const Envelope& envelope);

/// An envelope the store can hold; `ledger.envelope` with the field otherwise.
Status check_envelope(const Envelope& envelope);

/// Entries that go on from a link, each following from the one before: `ledger.chain_gap` or `ledger.chain_broken` with the place as fact
/// `seq` otherwise. `after`: how many entries come before them.
Status check_chain(std::span<const Entry> entries, std::uint64_t after = 0, Digest link = {});

/// Walks a chain from its first entry and keeps the first thing wrong.
class Walk {
 public:
  explicit Walk(std::optional<Digest> head);
  void add(const Entry& entry, const Digest& stored_event_hash, const Digest& stored_heading_hash);
  /// Damage found by other means; the first one stays.
  void damage(std::string code, std::vector<Fact> facts);
  /// How many events lie beside the chain.
  void quarantined(std::int64_t events);
  Verification finish();

 private:
  Verification result_;
  std::optional<Digest> wanted_;
  bool wanted_seen_ = false;
  std::map<std::string, std::vector<std::uint64_t>> writers_;
  Instant last_received_;
  Duration furthest_back_;
  std::uint64_t back_at_ = 0;
};

}  // namespace leafturn::store
