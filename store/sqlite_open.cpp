#include <sqlite3.h>

#include <filesystem>

#include "store/migrations/schema.hpp"
#include "store/sqlite_header.hpp"
#include "store/sqlite_ledger.hpp"

namespace leafturn::store {
namespace {

int pragma(SQLite::Database& db, const char* name) { return db.execAndGet(std::string("PRAGMA ") + name).getInt(); }

Status check_header(const Header& file, const std::string& path, bool create) {
  const Where where{path, 0, {}};
  std::error_code ignored;
  if (!file.exists) {
    if (create) return {};
    if (std::filesystem::exists(path, ignored)) return fail("ledger.cannot_open", where, {}, ErrorKind::cannot);
    return fail("ledger.not_found", where, {}, ErrorKind::not_found);
  }
  if (file.empty && create) return {};
  if (file.unsettled && file.application != application_id) return {};
  if (file.application != application_id) return fail("ledger.not_a_ledger", where);
  if (file.version > schema_version)
    return fail("ledger.newer_file", where, {{"version", std::int64_t{file.version}}, {"known", std::int64_t{schema_version}}});
  if (file.version < 1) return fail("ledger.not_a_ledger", where);
  return {};
}

/// Nothing in it in the eyes of SQLite itself, which undoes a making that was cut short when it first reads.
bool is_blank(SQLite::Database& db) {
  return pragma(db, "application_id") == 0 && db.execAndGet("SELECT count(*) FROM sqlite_schema").getInt() == 0;
}

/// The schema comes into being in one transaction with the header's marks, in rollback-journal mode, so that the header of a whole ledger
/// always says so in the main file itself.
void make(SQLite::Database& db) {
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::EXCLUSIVE);
  if (is_blank(db)) make_schema(db);
  transaction.commit();
}

void migrate(SQLite::Database& db, const std::string& path) {
  copy_database(db, unused_path(path + ".before-v" + std::to_string(schema_version)));
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::EXCLUSIVE);
  if (pragma(db, "user_version") == 1) migrate_v1_to_v2(db);  // unless another process was first
  if (pragma(db, "user_version") == 2) migrate_v2_to_v3(db);
  transaction.commit();
}

void set_up(SQLite::Database& db, const OpenOptions& options) {
  // A refusal on the way must leave the file as it is, so no checkpoint until we know we may write.
  sqlite3_db_config(db.getHandle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
  db.exec("PRAGMA foreign_keys = ON");
  db.exec("PRAGMA trusted_schema = OFF");
  db.exec(options.unsafe_synchronous_off ? "PRAGMA synchronous = OFF" : "PRAGMA synchronous = FULL");
}

void go_wal(SQLite::Database& db) {
  const bool writable = sqlite3_db_readonly(db.getHandle(), "main") == 0;
  if (writable) {
    const std::string mode = db.execAndGet("PRAGMA journal_mode = WAL").getString();
    if (mode != "wal") throw SQLite::Exception("write-ahead log refused", SQLITE_IOERR);
    sqlite3_db_config(db.getHandle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 0, nullptr);
  }
}

/// What the log holds is written into the file anew. After a sync that failed, the system may take pages for kept that the disk never got:
/// going on behind them would chain new events to a hole. While others use the file, their writing goes on from their own knowledge of it.
void write_anew(SQLite::Database& db, Duration busy_wait) {
  if (sqlite3_db_readonly(db.getHandle(), "main") != 0) return;
  db.setBusyTimeout(0);
  const int code = sqlite3_wal_checkpoint_v2(db.getHandle(), "main", SQLITE_CHECKPOINT_TRUNCATE, nullptr, nullptr);
  db.setBusyTimeout(static_cast<int>(busy_wait.microseconds / 1000));
  if (code != SQLITE_OK && code != SQLITE_BUSY && code != SQLITE_LOCKED && code != SQLITE_READONLY)
    throw SQLite::Exception("the log could not be written into the file", code & 0xff);
}

/// Where a sync failed before, every byte is looked at again before anything more is acknowledged.
Status trust_again(SQLite::Database& db, const std::string& path, const OpenOptions& options) {
  const std::string marker = not_kept_path(path, options);
  std::error_code ignored;
  if (marker.empty() || !std::filesystem::exists(marker, ignored)) return {};
  if (!verify_file(db, {}).intact) return fail("ledger.damaged", Where{path, 0, {}});
  std::filesystem::remove(marker, ignored);
  return {};
}

Result<std::unique_ptr<Ledger>> open_or_throw(const std::string& path, const OpenOptions& options) {
  const Header before = read_header(path, options.vfs);
  if (const Status good = check_header(before, path, options.create); !good) return fail(good.error());
  const bool make_it = options.create && (!before.exists || before.empty || before.unsettled);
  const int flags = SQLite::OPEN_READWRITE | SQLite::OPEN_FULLMUTEX | (make_it ? SQLite::OPEN_CREATE : 0);
  const auto wait_ms = static_cast<int>(options.busy_wait.microseconds / 1000);
  auto db = std::make_unique<SQLite::Database>(path, flags, wait_ms, options.vfs);
  set_up(*db, options);
  if (make_it) make(*db);
  // Again, now with what a write-ahead log may hold on top of the header.
  const Header now{true, false, false, true, pragma(*db, "application_id"), pragma(*db, "user_version")};
  if (const Status good = check_header(now, path, false); !good) return fail(good.error());
  if (now.version < schema_version) migrate(*db, path);
  go_wal(*db);
  write_anew(*db, options.busy_wait);
  if (const Status sound = trust_again(*db, path, options); !sound) return fail(sound.error());
  return std::make_unique<SqliteLedger>(std::move(db), path, options);
}

}  // namespace

Result<std::unique_ptr<Ledger>> open_sqlite(const std::string& path, const OpenOptions& options) {
  try {
    return open_or_throw(path, options);
  } catch (const SQLite::Exception& e) {
    return fail(error_of(e, path));
  } catch (const std::exception& e) {
    return fail("ledger.io", Where{path, 0, {}}, {{"detail", std::string(e.what())}}, ErrorKind::cannot);
  }
}

}  // namespace leafturn::store
