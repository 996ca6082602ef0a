#pragma once
/// The ledger's seam: an append-only chain of event bytes, with blobs and snapshots beside it. No SQL, row id or driver type shows here; one
/// conformance suite (tests/store) runs on every implementation.
///
/// link(n) = SHA-256(link(n−1) ‖ seq as 8 bytes big-endian ‖ received µs as 8 bytes big-endian ‖ SHA-256(bytes)); link(0) is 32 zero bytes.

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/ids.hpp"
#include "core/base/result.hpp"

namespace leafturn::store {

/// What a writer hands in: the event's bytes as written, and the three fields of it the chain needs.
struct Envelope {
  Id id;
  std::string writer;
  std::uint64_t writer_seq = 0;
  Instant happened_at;
  std::string bytes;
};

/// The acknowledgement: when it is in hand, the event is on the disk.
struct Receipt {
  Id id;
  std::uint64_t seq = 0;
  Digest link;
  enum class Kind { appended, had_it, quarantined } kind = Kind::appended;
};

struct Entry {
  std::uint64_t seq = 0;
  Instant received;
  Digest link;
  Envelope envelope;
};

/// Same id, other bytes: kept and shown, outside the chain.
struct Quarantined {
  Envelope envelope;
  Instant received;
};

struct Snapshot {
  std::uint64_t seq = 0;
  std::string bytes;
};

struct Verification {
  std::uint64_t events = 0;
  Digest head;
  bool intact = false;
  /// First thing found wrong: a reason code (`ledger.bytes_changed`, `ledger.link_broken`, `ledger.seq_missing`, `ledger.head_not_in_chain`,
  /// `ledger.writer_gap` is reported in `notes`, not as damage).
  std::optional<Reason> damage;
  std::vector<Reason> notes;
};

class Ledger {
 public:
  virtual ~Ledger() = default;
  /// All or nothing: one commit, durable before it returns. `received` stamps every event of the batch.
  virtual Result<std::vector<Receipt>> append(std::span<const Envelope> batch, Instant received) = 0;
  virtual Result<std::vector<Entry>> read(std::uint64_t from_seq, std::size_t most = SIZE_MAX) = 0;
  virtual Result<std::vector<Quarantined>> quarantine() = 0;
  virtual Result<std::uint64_t> last_seq() = 0;
  /// Recomputes every hash and link. With `head`, that link must occur in the chain.
  virtual Result<Verification> verify(std::optional<Digest> head = {}) = 0;
  virtual Result<std::optional<Snapshot>> snapshot_get(const std::string& kind) = 0;
  virtual Status snapshot_put(const std::string& kind, const Snapshot& snapshot) = 0;
  virtual Result<Digest> blob_put(std::string_view bytes) = 0;  ///< idempotent: the digest is the name
  virtual Result<std::string> blob_get(const Digest& digest) = 0;  ///< `ledger.no_such_blob`
  /// A consistent copy while others write.
  virtual Status backup(const std::string& to_path) = 0;
};

Digest sha256(std::string_view bytes);

/// Opens or, with `create`, makes a ledger file. Migrates older files after copying them aside; refuses newer ones (`ledger.newer_file`).
/// WAL, synchronous=FULL, one writer at a time with a bounded wait (`ledger.busy`).
struct OpenOptions {
  bool create = false;
  std::string vfs;               ///< tests: a fault-injecting file system
  bool unsafe_synchronous_off = false;  ///< tests only: shows that the power-cut test can fail
};
Result<std::unique_ptr<Ledger>> open_sqlite(const std::string& path, const OpenOptions& options = {});
std::unique_ptr<Ledger> open_memory();

}  // namespace leafturn::store
