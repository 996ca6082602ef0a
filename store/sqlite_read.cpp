#include <sqlite3.h>

#include <filesystem>

#include "store/chain.hpp"
#include "store/rows.hpp"
#include "store/snapshot_file.hpp"
#include "store/sqlite_ledger.hpp"

namespace leafturn::store {
namespace {

std::vector<Entry> entries_of(SQLite::Statement& rows) {
  std::vector<Entry> entries;
  while (rows.executeStep()) entries.push_back(entry_of(rows));
  return entries;
}

}  // namespace

std::unique_ptr<SQLite::Database> Readers::take() {
  {
    const std::lock_guard lock(mutex_);
    if (!idle_.empty()) {
      auto db = std::move(idle_.back());
      idle_.pop_back();
      return db;
    }
  }
  const auto wait_ms = static_cast<int>(options_.busy_wait.microseconds / 1000);
  // A reader of a write-ahead log marks what it reads in shared memory, for which the file must be open for writing.
  auto db = std::make_unique<SQLite::Database>(path_, SQLite::OPEN_READWRITE | SQLite::OPEN_NOMUTEX, wait_ms, options_.vfs);
  sqlite3_db_config(db->getHandle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
  db->exec("PRAGMA query_only = ON");
  db->exec("PRAGMA trusted_schema = OFF");
  return db;
}

void Readers::give_back(std::unique_ptr<SQLite::Database> db) {
  constexpr std::size_t most_idle = 8;
  const std::lock_guard lock(mutex_);
  if (idle_.size() < most_idle) idle_.push_back(std::move(db));
}

Result<std::vector<Entry>> SqliteLedger::read(std::uint64_t from_seq, std::size_t most) {
  return reading([&](SQLite::Database& db) -> Result<std::vector<Entry>> {
    SQLite::Statement rows(db, std::string("SELECT ") + entry_columns + " FROM events WHERE seq >= ? ORDER BY seq LIMIT ?");
    rows.bind(1, sql_number(from_seq));
    rows.bind(2, sql_number(most));
    return entries_of(rows);
  });
}

Result<std::vector<Entry>> SqliteLedger::read_at(std::span<const std::uint64_t> seqs) {
  return reading([&](SQLite::Database& db) -> Result<std::vector<Entry>> {
    SQLite::Statement row(db, std::string("SELECT ") + entry_columns + " FROM events WHERE seq = ?");
    std::vector<Entry> entries;
    for (const std::uint64_t seq : seqs) {
      row.reset();
      row.bind(1, sql_number(seq));
      if (row.executeStep()) entries.push_back(entry_of(row));
    }
    return entries;
  });
}

Result<std::optional<Entry>> SqliteLedger::find(const Id& id) {
  return reading([&](SQLite::Database& db) -> Result<std::optional<Entry>> {
    SQLite::Statement row(db, std::string("SELECT ") + entry_columns + " FROM events WHERE id = ?");
    bind_bytes(row, 1, id.bytes);
    if (!row.executeStep()) return std::optional<Entry>{};
    return std::optional<Entry>{entry_of(row)};
  });
}

Result<std::vector<Quarantined>> SqliteLedger::quarantine() {
  return reading([&](SQLite::Database& db) -> Result<std::vector<Quarantined>> {
    SQLite::Statement rows(db, "SELECT 0, received_us, x'', id, writer, writer_seq, happened_at_us, bytes FROM quarantine ORDER BY place");
    std::vector<Quarantined> found;
    for (Entry& entry : entries_of(rows)) found.push_back({std::move(entry.envelope), entry.received});
    return found;
  });
}

Result<std::uint64_t> SqliteLedger::last_seq() {
  return reading([&](SQLite::Database& db) -> Result<std::uint64_t> { return head_of(db).seq; });
}

void walk_chain(SQLite::Database& db, std::optional<std::int64_t> guest, Walk& walk) {
  SQLite::Statement rows(db, std::string("SELECT ") + entry_columns + ", event_hash, heading_hash FROM " +
                                 (guest ? "guest_events WHERE guest = " + std::to_string(*guest) : std::string("events")) +
                                 " ORDER BY seq");
  while (rows.executeStep()) walk.add(entry_of(rows), digest_of(rows.getColumn(8)), digest_of(rows.getColumn(9)));
}

Verification verify_file(SQLite::Database& db, std::optional<Digest> head) {
  Walk walk(head);
  SQLite::Transaction one_view(db, SQLite::TransactionBehavior::DEFERRED);
  try {
    walk_chain(db, {}, walk);
    walk.quarantined(db.execAndGet("SELECT count(*) FROM quarantine").getInt64());
    for (const auto& [number, guest] : guests_of(db)) {
      Walk its(std::nullopt);
      walk_chain(db, number, its);
      if (const Verification found = its.finish(); !found.intact || found.events == 0)
        walk.damage("ledger.guest_damaged", {{"name", guest.name}});
    }
    SQLite::Statement blobs(db, "SELECT digest, bytes FROM blobs");
    while (blobs.executeStep()) {
      const Digest name = digest_of(blobs.getColumn(0));
      if (sha256(text_of(blobs.getColumn(1))) != name) walk.damage("ledger.blob_changed", {{"blob", name.hex()}});
    }
    // The hashes say nothing about indexes and free pages; SQLite's own check does.
    SQLite::Statement check(db, "PRAGMA integrity_check(1)");
    if (check.executeStep() && check.getColumn(0).getString() != "ok") walk.damage("ledger.file_damaged", {});
  } catch (const SQLite::Exception& e) {
    if (e.getErrorCode() != SQLITE_CORRUPT && e.getErrorCode() != SQLITE_NOTADB) throw;
    walk.damage("ledger.file_damaged", {});
  }
  return walk.finish();
}

Result<Verification> SqliteLedger::verify(std::optional<Digest> head) {
  return reading([&](SQLite::Database& db) -> Result<Verification> { return verify_file(db, head); });
}

Result<std::optional<Snapshot>> SqliteLedger::snapshot_get(const std::string& kind) {
  auto found = read_snapshot(snapshot_path(path_, kind));
  if (!found) return std::optional<Snapshot>{};
  const auto link = reading([&](SQLite::Database& db) -> Result<std::optional<Digest>> { return link_at(db, found->snapshot.seq); });
  if (!link) return fail(link.error());
  if (*link != found->link) return std::optional<Snapshot>{};
  return std::optional<Snapshot>{std::move(found->snapshot)};
}

Result<std::string> SqliteLedger::blob_get(const Digest& digest) {
  return reading([&](SQLite::Database& db) -> Result<std::string> {
    SQLite::Statement row(db, "SELECT bytes FROM blobs WHERE digest = ?");
    bind_bytes(row, 1, digest.bytes);
    const std::vector<Fact> facts{{"blob", digest.hex()}};
    if (!row.executeStep()) return fail("ledger.no_such_blob", Where{path_, 0, {}}, facts, ErrorKind::not_found);
    std::string bytes = text_of(row.getColumn(0));
    if (sha256(bytes) != digest) return fail("ledger.blob_changed", Where{path_, 0, {}}, facts);
    return bytes;
  });
}

Status SqliteLedger::backup(const std::string& to_path) {
  std::error_code ignored;
  if (std::filesystem::exists(to_path, ignored)) return fail("ledger.backup_exists", Where{to_path, 0, {}});
  return reading([&](SQLite::Database& db) -> Status {
    try {
      copy_database(db, to_path);
    } catch (const SQLite::Exception& e) {
      return fail(error_of(e, to_path));
    }
    return {};
  });
}

}  // namespace leafturn::store
