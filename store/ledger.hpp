#pragma once
/// The ledger's seam: an append-only chain of event bytes, with blobs and snapshots beside it. No SQL, row id or driver type shows here;
/// one conformance suite (tests/store) runs on every implementation.
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

/// The acknowledgement: when it is in hand, the event is on the disk. A quarantined event has no place in the chain: seq 0, link all zeros.
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

/// Another garden's chain, kept whole beside this one's: its own places, times and links. Nothing of it counts in this garden.
struct Guest {
  Digest origin;     ///< its first link, which no other chain has
  std::string name;  ///< as said when it was brought in
  Instant since;     ///< when it was first brought in
  std::uint64_t events = 0;
  Digest head;
};

struct Verification {
  std::uint64_t events = 0;
  Digest head;
  bool intact = false;
  /// First thing found wrong: `ledger.bytes_changed`, `ledger.heading_changed`, `ledger.link_broken`, `ledger.seq_missing`,
  /// `ledger.blob_changed`, `ledger.file_damaged`, `ledger.head_not_in_chain`; `ledger.guest_damaged` (name) for one in a guest's chain.
  /// Facts: `seq`, `id`, `head` …
  std::optional<Reason> damage;
  /// Worth knowing, no damage: `ledger.writer_gap` (writer, from, to), `ledger.writer_seq_twice` (writer, writer_seq),
  /// `ledger.quarantined` (n), `ledger.clock_back` (seq, hours: the furthest the server's clock went back between two events).
  std::vector<Reason> notes;
};

/// Every call may come from any thread. Appends that wait for one another share one commit; readers never wait for the writer.
class Ledger {
 public:
  virtual ~Ledger() = default;
  /// All or nothing: one commit, durable before it returns. `received` stamps every event of the batch. With `after`, only when the chain
  /// still ends at that seq, `ledger.moved_on` otherwise: what was judged against a chain must not land on another.
  ///
  /// When the disk could not keep what was written (`ledger.not_kept`: a write or sync failed), nothing more is acknowledged: every later
  /// append is refused with that code until the ledger was opened again, which writes anew what may be lost and verifies the whole chain.
  virtual Result<std::vector<Receipt>> append(std::span<const Envelope> batch, Instant received,
                                              std::optional<std::uint64_t> after = {}) = 0;
  virtual Result<std::vector<Entry>> read(std::uint64_t from_seq, std::size_t most = SIZE_MAX) = 0;
  /// The events at these places, in ascending order; places the chain doesn't reach are left out.
  virtual Result<std::vector<Entry>> read_at(std::span<const std::uint64_t> seqs) = 0;
  /// The event of this id, when the chain holds it.
  virtual Result<std::optional<Entry>> find(const Id& id) = 0;
  virtual Result<std::vector<Quarantined>> quarantine() = 0;
  virtual Result<std::uint64_t> last_seq() = 0;
  /// Why an append would be refused whatever it holds (`ledger.not_kept`, `ledger.read_only`); nothing when it would not.
  virtual Status writable() = 0;
  /// Recomputes every hash and link. With `head`, that link must occur in the chain.
  virtual Result<Verification> verify(std::optional<Digest> head = {}) = 0;
  /// A snapshot is a cache: never in a backup, never synced. Nothing when there is none, when it is damaged, or when it was made from
  /// another chain (its link is no longer the chain's at its seq).
  virtual Result<std::optional<Snapshot>> snapshot_get(const std::string& kind) = 0;
  /// Replaces the one of the same kind; `ledger.snapshot_ahead` if the chain is shorter than its seq. Doesn't hold up writers.
  virtual Status snapshot_put(const std::string& kind, const Snapshot& snapshot) = 0;
  /// A chain written elsewhere, from its first entry on, onto this garden's own: what is here already must have the same links
  /// (`ledger.chains_differ`), the rest is appended with the places, times and links it had. Of what is here only the links are looked at:
  /// our own bytes hold. All or nothing, durable.
  virtual Status adopt(std::span<const Entry> entries) = 0;
  /// The same beside this garden's own chain, as a guest.
  virtual Status adopt_guest(const std::string& name, std::span<const Entry> entries, Instant now) = 0;
  virtual Result<std::vector<Guest>> guests() = 0;
  virtual Result<std::vector<Entry>> read_guest(const Digest& origin, std::uint64_t from_seq, std::size_t most = SIZE_MAX) = 0;
  virtual Result<Digest> blob_put(std::string_view bytes) = 0;     ///< idempotent: the digest is the name
  virtual Result<std::string> blob_get(const Digest& digest) = 0;  ///< `ledger.no_such_blob`
  /// A consistent copy while others write; complete under its name or not there. Never over an existing file: `ledger.backup_exists`.
  virtual Status backup(const std::string& to_path) = 0;
};

Digest sha256(std::string_view bytes);

/// Opens or, with `create`, makes a ledger file. Migrates older files after copying them aside (`NAME.before-v3`); refuses newer ones
/// (`ledger.newer_file`) untouched. WAL, synchronous=FULL, one writer at a time with a bounded wait (`ledger.busy`). What the write-ahead
/// log holds is first written into the file anew, so that nothing rests on writes a failed sync may have lost; where one failed
/// (`NAME.not-kept` lies beside the file), the whole chain is verified and damage refused (`ledger.damaged`).
/// Others: `ledger.not_found`, `ledger.not_a_ledger`, `ledger.cannot_open`, `ledger.disk_full`, `ledger.read_only`, `ledger.damaged`,
/// `ledger.io`.
struct OpenOptions {
  bool create = false;
  Duration busy_wait = Duration::seconds(5);  ///< how long to wait for another writer
  std::string vfs = {};                       ///< tests: a fault-injecting file system
  bool unsafe_synchronous_off = false;        ///< tests only: shows that the power-cut test can fail
};
Result<std::unique_ptr<Ledger>> open_sqlite(const std::string& path, const OpenOptions& options = {});
std::unique_ptr<Ledger> open_memory();

/// A whole copy of a backup where a ledger is to be, never over a file (`ledger.backup_exists`); the backup isn't written to. Errors as of
/// `open_sqlite`.
Status restore_sqlite(const std::string& backup, const std::string& to);
/// Where a ledger file ends, without opening it for writing.
struct Tip {
  std::uint64_t seq = 0;
  Digest head;
  Instant received;  ///< of the last event
};
Result<Tip> tip_of(const std::string& path);

}  // namespace leafturn::store
