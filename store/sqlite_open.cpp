#include <sqlite3.h>

#include <filesystem>

#include "store/migrations/schema.hpp"
#include "store/sqlite_ledger.hpp"

namespace leafturn::store {
namespace {

/// What the file's header says, read without touching it or its companions.
struct Peek {
  bool exists = false;
  bool empty = false;  ///< no schema at all: just made, or its making was cut short
  int application = 0;
  int version = 0;
};

std::string escaped(const std::string& path) {
  std::string out;
  for (const char c : path) {
    if (c == '%')
      out += "%25";
    else if (c == '?')
      out += "%3f";
    else if (c == '#')
      out += "%23";
    else
      out += c;
  }
  return out;
}

int pragma(SQLite::Database& db, const char* name) { return db.execAndGet(std::string("PRAGMA ") + name).getInt(); }

Peek peek(const std::string& path, const std::string& vfs) {
  Peek found;
  try {
    // `immutable`: no lock, no -wal and no -shm is made or read.
    SQLite::Database db("file:" + escaped(path) + "?immutable=1", SQLite::OPEN_READONLY | SQLite::OPEN_URI, 0, vfs);
    found.exists = true;
    found.application = pragma(db, "application_id");
    found.version = pragma(db, "user_version");
    found.empty = found.application == 0 && found.version == 0 && pragma(db, "page_count") == 0;
  } catch (const SQLite::Exception& e) {
    if (found.exists || e.getErrorCode() != SQLITE_CANTOPEN) throw;
  }
  return found;
}

Status check_header(const Peek& file, const std::string& path, bool create) {
  const Where where{path, 0, {}};
  std::error_code ignored;
  if (!file.exists) {
    if (create) return {};
    if (std::filesystem::exists(path, ignored)) return fail("ledger.cannot_open", where, {}, ErrorKind::cannot);
    return fail("ledger.not_found", where, {}, ErrorKind::not_found);
  }
  if (file.empty && create) return {};
  if (file.application != application_id) return fail("ledger.not_a_ledger", where);
  if (file.version > schema_version)
    return fail("ledger.newer_file", where, {{"version", std::int64_t{file.version}}, {"known", std::int64_t{schema_version}}});
  if (file.version < 1) return fail("ledger.not_a_ledger", where);
  return {};
}

/// The schema comes into being in one transaction with the header's marks, in rollback-journal mode, so that the header of a whole ledger
/// always says so in the main file itself.
void make(SQLite::Database& db) {
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::EXCLUSIVE);
  if (pragma(db, "application_id") != application_id) make_schema(db);
  transaction.commit();
}

void migrate(SQLite::Database& db, const std::string& path) {
  copy_database(db, unused_path(path + ".before-v" + std::to_string(schema_version)));
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::EXCLUSIVE);
  if (pragma(db, "user_version") == 1) migrate_v1_to_v2(db);  // unless another process was first
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

Result<std::unique_ptr<Ledger>> open_or_throw(const std::string& path, const OpenOptions& options) {
  const Peek before = peek(path, options.vfs);
  if (const Status good = check_header(before, path, options.create); !good) return fail(good.error());
  const bool make_it = !before.exists || before.empty;
  const int flags = SQLite::OPEN_READWRITE | SQLite::OPEN_FULLMUTEX | (make_it ? SQLite::OPEN_CREATE : 0);
  const auto wait_ms = static_cast<int>(options.busy_wait.microseconds / 1000);
  auto db = std::make_unique<SQLite::Database>(path, flags, wait_ms, options.vfs);
  set_up(*db, options);
  if (make_it) make(*db);
  // Again, now with what a write-ahead log may hold on top of the header.
  const Peek now{true, false, pragma(*db, "application_id"), pragma(*db, "user_version")};
  if (const Status good = check_header(now, path, false); !good) return fail(good.error());
  if (now.version < schema_version) migrate(*db, path);
  go_wal(*db);
  return std::make_unique<SqliteLedger>(std::move(db), path);
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
