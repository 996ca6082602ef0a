#include "app/serving_lock.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <utility>

namespace leafturn::app {

Result<ServingLock> ServingLock::take(const std::string& folder) {
  // A file of its own: locks of this kind on the ledger's file could meet SQLite's.
  const std::string path = (std::filesystem::path(folder) / "ledger.db").string() + ".serving";
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (file < 0) return ServingLock(-1);
  if (::flock(file, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK) return ServingLock(file);
  ::close(file);
  return fail("server.garden_served", {folder, 0, {}}, {}, ErrorKind::cannot);
}

ServingLock::ServingLock(ServingLock&& other) noexcept : file_{std::exchange(other.file_, -1)} {}
ServingLock::~ServingLock() {
  if (file_ >= 0) ::close(file_);
}

}  // namespace leafturn::app
