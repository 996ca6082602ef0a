#include <SQLiteCpp/Backup.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <filesystem>

#include "store/migrations/schema.hpp"
#include "store/rows.hpp"
#include "store/sqlite_header.hpp"
#include "store/sqlite_ledger.hpp"

namespace leafturn::store {
namespace fs = std::filesystem;
namespace {

void sync_path(const std::string& path, int flags) {
  const int file = ::open(path.c_str(), flags | O_CLOEXEC);
  if (file < 0) throw SQLite::Exception("cannot open the copy", SQLITE_CANTOPEN);
  const int failed = ::fsync(file);
  ::close(file);
  if (failed != 0) throw SQLite::Exception("cannot make the copy durable", SQLITE_IOERR);
}

void remove_with_companions(const std::string& path) {
  std::error_code ignored;
  for (const char* ending : {"", "-journal", "-wal", "-shm"}) fs::remove(path + ending, ignored);
}

}  // namespace

std::string unused_path(const std::string& path) {
  std::error_code ignored;
  std::string candidate = path;
  for (int n = 2; fs::exists(candidate, ignored); ++n) candidate = path + "-" + std::to_string(n);
  return candidate;
}

void settle_file(const std::string& partial, const std::string& path) {
  sync_path(partial, O_RDONLY);
  // link() instead of rename(): it never replaces a file that came into being meanwhile.
  if (::link(partial.c_str(), path.c_str()) != 0) {
    std::error_code failed;
    if (fs::exists(path, failed)) throw SQLite::Exception("the copy's name is taken", SQLITE_CANTOPEN);
    fs::rename(partial, path, failed);
    if (failed) throw SQLite::Exception(failed.message(), SQLITE_IOERR);
  } else {
    ::unlink(partial.c_str());
  }
  const fs::path folder = fs::absolute(path).parent_path();
  sync_path(folder.string(), O_RDONLY | O_DIRECTORY);
}

void copy_database(SQLite::Database& from, const std::string& path) {
  const std::string partial = path + ".partial";
  remove_with_companions(partial);
  try {
    {
      SQLite::Database to(partial, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
      SQLite::Backup copying(to, from);
      // All pages in one step: the source stays readable and, in WAL mode, writable by others meanwhile.
      if (const int code = copying.executeStep(-1); code != SQLITE_DONE) throw SQLite::Exception("the copy could not start", code);
    }
    {
      // Without a log beside it, so that it can be read where nothing may be written: a locked stick, another's folder.
      SQLite::Database to(partial, SQLite::OPEN_READWRITE);
      to.exec("PRAGMA journal_mode = DELETE");
    }
    settle_file(partial, path);
  } catch (...) {
    remove_with_companions(partial);
    throw;
  }
}

namespace {

Result<SQLite::Database> open_copy(const std::string& path) {
  const Where where{path, 0, {}};
  const Header header = read_header(path, {});
  if (!header.exists) return fail("ledger.not_found", where, {}, ErrorKind::not_found);
  if (header.application != application_id || header.version < 1) return fail("ledger.not_a_ledger", where);
  if (header.version > schema_version)
    return fail("ledger.newer_file", where, {{"version", std::int64_t{header.version}}, {"known", std::int64_t{schema_version}}});
  return SQLite::Database(path, SQLite::OPEN_READONLY);
}

}  // namespace

Status restore_sqlite(const std::string& backup, const std::string& to) {
  std::error_code ignored;
  if (fs::exists(to, ignored)) return fail("ledger.backup_exists", Where{to, 0, {}});
  try {
    auto from = open_copy(backup);
    if (!from) return fail(from.error());
    copy_database(*from, to);
  } catch (const SQLite::Exception& e) {
    return fail(error_of(e, backup));
  }
  return {};
}

Result<Tip> tip_of(const std::string& path) {
  try {
    auto db = open_copy(path);
    if (!db) return fail(db.error());
    SQLite::Statement row(*db, "SELECT seq, link, received_us FROM events ORDER BY seq DESC LIMIT 1");
    if (!row.executeStep()) return Tip{};
    return Tip{static_cast<std::uint64_t>(row.getColumn(0).getInt64()), digest_of(row.getColumn(1)),
               Instant::from_unix_microseconds(row.getColumn(2).getInt64())};
  } catch (const SQLite::Exception& e) {
    return fail(error_of(e, path));
  }
}

}  // namespace leafturn::store
