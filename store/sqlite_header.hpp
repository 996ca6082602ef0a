#pragma once
/// A database file's header, read without SQLite's reading it: nothing is locked, rolled back, or made beside it.

#include <string>

namespace leafturn::store {

struct Header {
  bool exists = false;
  bool empty = false;      ///< no bytes: just made, or its making was cut short
  bool unsettled = false;  ///< a rollback journal lies beside it: the main file alone says nothing
  bool is_sqlite = false;
  int application = 0;
  int version = 0;
};

/// Through the file system `vfs` (empty: the usual one).
Header read_header(const std::string& path, const std::string& vfs);

}  // namespace leafturn::store
