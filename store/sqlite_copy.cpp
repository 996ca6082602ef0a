#include <SQLiteCpp/Backup.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <filesystem>

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
    settle_file(partial, path);
  } catch (...) {
    remove_with_companions(partial);
    throw;
  }
}

}  // namespace leafturn::store
