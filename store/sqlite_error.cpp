#include <sqlite3.h>

#include "store/sqlite_ledger.hpp"

namespace leafturn::store {

Error error_of(const SQLite::Exception& exception, const std::string& path) {
  const Where where{path, 0, {}};
  const auto cannot = [&](const char* code) { return Error{code, where, {}, ErrorKind::cannot}; };
  // Damage to a file isn't the user's input being wrong, but only the user can bring the backup.
  switch (exception.getErrorCode()) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return cannot("ledger.busy");
    case SQLITE_FULL:
      return cannot("ledger.disk_full");
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return cannot("ledger.read_only");
    case SQLITE_CORRUPT:
      return Error{"ledger.damaged", where, {}, ErrorKind::bad_input};
    case SQLITE_NOTADB:
      return Error{"ledger.not_a_ledger", where, {}, ErrorKind::bad_input};
    case SQLITE_CANTOPEN:
      return cannot("ledger.cannot_open");
    default:
      return Error{"ledger.io", where, {{"detail", std::string(exception.what())}}, ErrorKind::cannot};
  }
}

}  // namespace leafturn::store
