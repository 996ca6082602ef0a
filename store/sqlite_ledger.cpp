#include "store/sqlite_ledger.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <filesystem>
#include <limits>

#include "store/chain.hpp"
#include "store/rows.hpp"

namespace leafturn::store {
namespace {

std::int64_t sql_number(std::uint64_t value) {
  constexpr auto most = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());
  return static_cast<std::int64_t>(std::min(value, most));
}

struct Head {
  std::uint64_t seq = 0;
  Digest link;
};

Head head_of(SQLite::Database& db) {
  SQLite::Statement row(db, "SELECT seq, link FROM events ORDER BY seq DESC LIMIT 1");
  if (!row.executeStep()) return {};
  return {static_cast<std::uint64_t>(row.getColumn(0).getInt64()), digest_of(row.getColumn(1))};
}

/// One batch's way into the file, inside one transaction.
class Appender {
 public:
  Appender(SQLite::Database& db, Instant received)
      : received_{received},
        head_{head_of(db)},
        find_(db, "SELECT seq, link, event_hash FROM events WHERE id = ?"),
        write_(db),
        quarantine_(db,
                    "INSERT OR IGNORE INTO quarantine (id, writer, writer_seq, happened_at_us, received_us, event_hash, bytes) "
                    "VALUES (?, ?, ?, ?, ?, ?, ?)") {}

  Receipt put(const Envelope& envelope) {
    const Digest hash = sha256(envelope.bytes);
    find_.reset();
    bind_bytes(find_, 1, envelope.id.bytes);
    if (find_.executeStep()) {
      if (digest_of(find_.getColumn(2)) == hash)
        return {envelope.id, static_cast<std::uint64_t>(find_.getColumn(0).getInt64()), digest_of(find_.getColumn(1)),
                Receipt::Kind::had_it};
      set_aside(envelope, hash);
      return {envelope.id, 0, Digest{}, Receipt::Kind::quarantined};
    }
    const std::uint64_t seq = head_.seq + 1;
    head_ = {seq, next_link(head_.link, seq, received_, hash)};
    write_.put(Entry{seq, received_, head_.link, envelope}, hash);
    return {envelope.id, seq, head_.link, Receipt::Kind::appended};
  }

 private:
  void set_aside(const Envelope& envelope, const Digest& hash) {
    quarantine_.reset();
    bind_bytes(quarantine_, 1, envelope.id.bytes);
    quarantine_.bind(2, envelope.writer);
    quarantine_.bind(3, sql_number(envelope.writer_seq));
    quarantine_.bind(4, envelope.happened_at.unix_microseconds());
    quarantine_.bind(5, received_.unix_microseconds());
    bind_bytes(quarantine_, 6, hash.bytes);
    bind_blob(quarantine_, 7, envelope.bytes);
    quarantine_.exec();
  }

  Instant received_;
  Head head_;
  SQLite::Statement find_;
  EventWriter write_;
  SQLite::Statement quarantine_;
};

}  // namespace

SqliteLedger::SqliteLedger(std::unique_ptr<SQLite::Database> db, std::string path) : db_{std::move(db)}, path_{std::move(path)} {}

Result<std::vector<Receipt>> SqliteLedger::append(std::span<const Envelope> batch, Instant received, std::optional<std::uint64_t> after) {
  for (const Envelope& envelope : batch)
    if (const Status good = check_envelope(envelope); !good) return fail(good.error());
  return guarded([&]() -> Result<std::vector<Receipt>> {
    std::vector<Receipt> receipts;
    SQLite::Transaction transaction(*db_, SQLite::TransactionBehavior::IMMEDIATE);
    if (after && head_of(*db_).seq != *after) return fail("ledger.moved_on", {}, {}, ErrorKind::conflict);
    {
      Appender appender(*db_, received);
      for (const Envelope& envelope : batch) receipts.push_back(appender.put(envelope));
    }
    transaction.commit();
    return receipts;
  });
}

Result<std::vector<Entry>> SqliteLedger::read(std::uint64_t from_seq, std::size_t most) {
  return guarded([&]() -> Result<std::vector<Entry>> {
    SQLite::Statement rows(*db_, std::string("SELECT ") + entry_columns + " FROM events WHERE seq >= ? ORDER BY seq LIMIT ?");
    rows.bind(1, sql_number(from_seq));
    rows.bind(2, sql_number(most));
    std::vector<Entry> entries;
    while (rows.executeStep()) entries.push_back(entry_of(rows));
    return entries;
  });
}

Result<std::vector<Quarantined>> SqliteLedger::quarantine() {
  return guarded([&]() -> Result<std::vector<Quarantined>> {
    SQLite::Statement rows(*db_,
                           "SELECT 0, received_us, x'', id, writer, writer_seq, happened_at_us, bytes FROM quarantine ORDER BY place");
    std::vector<Quarantined> found;
    while (rows.executeStep()) {
      Entry entry = entry_of(rows);
      found.push_back({std::move(entry.envelope), entry.received});
    }
    return found;
  });
}

Result<std::uint64_t> SqliteLedger::last_seq() {
  return guarded([&]() -> Result<std::uint64_t> { return head_of(*db_).seq; });
}

void SqliteLedger::verify_into(Walk& walk) {
  SQLite::Statement rows(*db_, std::string("SELECT ") + entry_columns + ", event_hash, heading_hash FROM events ORDER BY seq");
  while (rows.executeStep()) walk.add(entry_of(rows), digest_of(rows.getColumn(8)), digest_of(rows.getColumn(9)));
  walk.quarantined(db_->execAndGet("SELECT count(*) FROM quarantine").getInt64());
  SQLite::Statement blobs(*db_, "SELECT digest, bytes FROM blobs");
  while (blobs.executeStep()) {
    const Digest name = digest_of(blobs.getColumn(0));
    if (sha256(text_of(blobs.getColumn(1))) != name) walk.damage("ledger.blob_changed", {{"blob", name.hex()}});
  }
  // The hashes say nothing about indexes and free pages; SQLite's own check does.
  SQLite::Statement check(*db_, "PRAGMA integrity_check(1)");
  if (check.executeStep() && check.getColumn(0).getString() != "ok") walk.damage("ledger.file_damaged", {});
}

Result<Verification> SqliteLedger::verify(std::optional<Digest> head) {
  return guarded([&]() -> Result<Verification> {
    Walk walk(head);
    SQLite::Transaction one_view(*db_, SQLite::TransactionBehavior::DEFERRED);
    try {
      verify_into(walk);
    } catch (const SQLite::Exception& e) {
      if (e.getErrorCode() != SQLITE_CORRUPT && e.getErrorCode() != SQLITE_NOTADB) throw;
      walk.damage("ledger.file_damaged", {});
    }
    return walk.finish();
  });
}

std::optional<Digest> SqliteLedger::link_at(std::uint64_t seq) {
  if (seq == 0) return Digest{};
  SQLite::Statement row(*db_, "SELECT link FROM events WHERE seq = ?");
  row.bind(1, sql_number(seq));
  if (!row.executeStep()) return std::nullopt;
  return digest_of(row.getColumn(0));
}

Result<std::optional<Snapshot>> SqliteLedger::snapshot_get(const std::string& kind) {
  return guarded([&]() -> Result<std::optional<Snapshot>> {
    SQLite::Statement row(*db_, "SELECT seq, link, bytes FROM snapshots WHERE kind = ?");
    row.bind(1, kind);
    if (!row.executeStep()) return std::optional<Snapshot>{};
    const auto seq = static_cast<std::uint64_t>(row.getColumn(0).getInt64());
    if (link_at(seq) != digest_of(row.getColumn(1))) return std::optional<Snapshot>{};
    return std::optional<Snapshot>{{seq, text_of(row.getColumn(2))}};
  });
}

Status SqliteLedger::snapshot_put(const std::string& kind, const Snapshot& snapshot) {
  return guarded([&]() -> Status {
    SQLite::Transaction transaction(*db_, SQLite::TransactionBehavior::IMMEDIATE);
    const auto link = link_at(snapshot.seq);
    if (!link) return fail("ledger.snapshot_ahead", Where{path_, 0, "seq"}, {{"seq", sql_number(snapshot.seq)}});
    {
      SQLite::Statement put(*db_, "INSERT OR REPLACE INTO snapshots (kind, seq, link, bytes) VALUES (?, ?, ?, ?)");
      put.bind(1, kind);
      put.bind(2, sql_number(snapshot.seq));
      bind_bytes(put, 3, link->bytes);
      bind_blob(put, 4, snapshot.bytes);
      put.exec();
    }
    transaction.commit();
    return {};
  });
}

Result<Digest> SqliteLedger::blob_put(std::string_view bytes) {
  return guarded([&]() -> Result<Digest> {
    const Digest digest = sha256(bytes);
    SQLite::Statement put(*db_, "INSERT OR IGNORE INTO blobs (digest, bytes) VALUES (?, ?)");
    bind_bytes(put, 1, digest.bytes);
    bind_blob(put, 2, bytes);
    put.exec();
    return digest;
  });
}

Result<std::string> SqliteLedger::blob_get(const Digest& digest) {
  return guarded([&]() -> Result<std::string> {
    SQLite::Statement row(*db_, "SELECT bytes FROM blobs WHERE digest = ?");
    bind_bytes(row, 1, digest.bytes);
    const std::vector<Fact> facts{{"blob", digest.hex()}};
    if (!row.executeStep()) return fail("ledger.no_such_blob", Where{path_, 0, {}}, facts, ErrorKind::not_found);
    std::string bytes = text_of(row.getColumn(0));
    if (sha256(bytes) != digest) return fail("ledger.blob_changed", Where{path_, 0, {}}, facts);
    return bytes;
  });
}

Status SqliteLedger::backup(const std::string& to_path) {
  return guarded([&]() -> Status {
    std::error_code ignored;
    if (std::filesystem::exists(to_path, ignored)) return fail("ledger.backup_exists", Where{to_path, 0, {}});
    try {
      copy_database(*db_, to_path);
    } catch (const SQLite::Exception& e) {
      return fail(error_of(e, to_path));
    }
    return {};
  });
}

}  // namespace leafturn::store
