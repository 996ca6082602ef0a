#pragma once
/// One server at a time on a garden: a lock the system lets go of when the process ends, however it ends.

#include <string>

#include "core/base/result.hpp"

namespace leafturn::app {

class ServingLock {
 public:
  /// Held for as long as the value lives, on `FOLDER/ledger.db.serving`. `server.garden_served` when another process holds it; a folder
  /// that can't be written to is nobody's to lock, and is served read-only.
  static Result<ServingLock> take(const std::string& folder);
  ServingLock(ServingLock&& other) noexcept;
  ServingLock& operator=(ServingLock&&) = delete;
  ~ServingLock();

 private:
  explicit ServingLock(int file) : file_{file} {}
  int file_;
};

}  // namespace leafturn::app
