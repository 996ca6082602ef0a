#include "store/chain.hpp"

#include <sodium.h>

#include <algorithm>
#include <limits>

namespace leafturn::store {
namespace {

class Hasher {
 public:
  Hasher() { crypto_hash_sha256_init(&state_); }
  Hasher& add(std::string_view bytes) {
    crypto_hash_sha256_update(&state_, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    return *this;
  }
  template <std::size_t N>
  Hasher& add(const std::array<std::uint8_t, N>& bytes) {
    crypto_hash_sha256_update(&state_, bytes.data(), bytes.size());
    return *this;
  }
  Hasher& add_big_endian(std::uint64_t value) {
    std::array<std::uint8_t, 8> bytes{};
    for (std::size_t i = 0; i < 8; ++i) bytes[i] = static_cast<std::uint8_t>(value >> (56 - 8 * i));
    return add(bytes);
  }
  Digest digest() {
    Digest out;
    crypto_hash_sha256_final(&state_, out.bytes.data());
    return out;
  }

 private:
  crypto_hash_sha256_state state_{};
};

std::int64_t as_number(std::uint64_t value) { return static_cast<std::int64_t>(value); }

void note_writer(const std::string& writer, std::vector<std::uint64_t> seqs, std::vector<Reason>& notes) {
  std::sort(seqs.begin(), seqs.end());
  std::uint64_t expected = 1;
  for (const std::uint64_t seq : seqs) {
    if (seq > expected)
      notes.push_back({"ledger.writer_gap", {{"writer", writer}, {"from", as_number(expected)}, {"to", as_number(seq - 1)}}});
    if (seq < expected) notes.push_back({"ledger.writer_seq_twice", {{"writer", writer}, {"writer_seq", as_number(seq)}}});
    expected = seq + 1;
  }
}

}  // namespace

Digest sha256(std::string_view bytes) { return Hasher{}.add(bytes).digest(); }

Digest next_link(const Digest& previous, std::uint64_t seq, Instant received, const Digest& event_hash) {
  const auto us = static_cast<std::uint64_t>(received.unix_microseconds());
  return Hasher{}.add(previous.bytes).add_big_endian(seq).add_big_endian(us).add(event_hash.bytes).digest();
}

Digest heading_hash(const Envelope& envelope) {
  const auto us = static_cast<std::uint64_t>(envelope.happened_at.unix_microseconds());
  return Hasher{}.add(envelope.id.bytes).add_big_endian(envelope.writer_seq).add_big_endian(us).add(envelope.writer).digest();
}

Status check_envelope(const Envelope& envelope) {
  const auto refuse = [](const char* field) { return fail("ledger.envelope", Where{{}, 0, field}); };
  if (envelope.writer.empty()) return refuse("writer");
  if (envelope.writer_seq == 0 || envelope.writer_seq > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
    return refuse("writer_seq");
  if (envelope.bytes.empty()) return refuse("bytes");
  return {};
}

Status check_chain(std::span<const Entry> entries, std::uint64_t after, Digest link) {
  for (std::uint64_t n = after + 1; n <= after + entries.size(); ++n) {
    const Entry& entry = entries[n - 1 - after];
    const std::vector<Fact> at{{"seq", as_number(n)}};
    if (const Status good = check_envelope(entry.envelope); !good) return good;
    if (entry.seq != n) return fail("ledger.chain_gap", {}, at);
    link = next_link(link, n, entry.received, sha256(entry.envelope.bytes));
    if (link != entry.link) return fail("ledger.chain_broken", {}, at);
  }
  return {};
}

Walk::Walk(std::optional<Digest> head) : wanted_{head}, wanted_seen_{!head || *head == Digest{}} {}

void Walk::damage(std::string code, std::vector<Fact> facts) {
  if (!result_.damage) result_.damage = Reason{std::move(code), std::move(facts)};
}

void Walk::add(const Entry& entry, const Digest& stored_event_hash, const Digest& stored_heading_hash) {
  const std::vector<Fact> at{{"seq", as_number(entry.seq)}, {"id", entry.envelope.id.text()}};
  const std::uint64_t expected = result_.events + 1;
  if (entry.seq != expected) damage("ledger.seq_missing", {{"seq", as_number(expected)}});
  const Digest event_hash = sha256(entry.envelope.bytes);
  if (event_hash != stored_event_hash) damage("ledger.bytes_changed", at);
  if (heading_hash(entry.envelope) != stored_heading_hash) damage("ledger.heading_changed", at);
  if (next_link(result_.head, entry.seq, entry.received, event_hash) != entry.link) damage("ledger.link_broken", at);
  if (result_.events > 0 && last_received_ - entry.received > furthest_back_) {
    furthest_back_ = last_received_ - entry.received;
    back_at_ = entry.seq;
  }
  last_received_ = entry.received;
  result_.events = expected;
  result_.head = entry.link;
  if (wanted_ && *wanted_ == entry.link) wanted_seen_ = true;
  writers_[entry.envelope.writer].push_back(entry.envelope.writer_seq);
}

void Walk::quarantined(std::int64_t events) {
  if (events > 0) result_.notes.push_back({"ledger.quarantined", {{"n", events}}});
}

Verification Walk::finish() {
  if (!wanted_seen_) damage("ledger.head_not_in_chain", {{"head", wanted_->hex()}});
  for (auto& [writer, seqs] : writers_) note_writer(writer, std::move(seqs), result_.notes);
  // A second or two is a clock being set right; rules that count hours are not moved by it.
  if (furthest_back_ > Duration::minutes(1))
    result_.notes.push_back(
        {"ledger.clock_back",
         {{"seq", as_number(back_at_)}, {"hours", Number{furthest_back_.in_hours(), furthest_back_.in_hours() < 10 ? 1 : 0}}}});
  result_.intact = !result_.damage;
  return std::move(result_);
}

}  // namespace leafturn::store
