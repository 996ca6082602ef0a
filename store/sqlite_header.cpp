#include "store/sqlite_header.hpp"

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include <array>
#include <cstddef>
#include <memory>
#include <vector>

namespace leafturn::store {
namespace {

// Where SQLite's file format (sqlite.org/fileformat2.html, 1.3) puts them.
constexpr std::size_t header_size = 100;
constexpr std::size_t version_at = 60;
constexpr std::size_t application_at = 68;
constexpr std::string_view magic("SQLite format 3\0", 16);

int big_endian(const std::array<char, header_size>& bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < 4; ++i) value = value << 8 | static_cast<std::uint8_t>(bytes[at + i]);
  return static_cast<int>(value);
}

/// A file opened through SQLite's file system, so that closing it drops no lock of this process.
class RawFile {
 public:
  RawFile(sqlite3_vfs* vfs, const std::string& path)
      : memory_((static_cast<std::size_t>(vfs->szOsFile) + sizeof(std::max_align_t)) / sizeof(std::max_align_t)),
        name_{sqlite3_create_filename(path.c_str(), "", "", 0, nullptr)},
        file_{reinterpret_cast<sqlite3_file*>(memory_.data())} {
    opened_ = vfs->xOpen(vfs, name_, file_, SQLITE_OPEN_READONLY | SQLITE_OPEN_MAIN_DB, nullptr);
  }
  ~RawFile() {
    if (file_->pMethods != nullptr) file_->pMethods->xClose(file_);
    sqlite3_free_filename(const_cast<char*>(name_));
  }
  RawFile(const RawFile&) = delete;
  RawFile& operator=(const RawFile&) = delete;

  bool is_open() const { return opened_ == SQLITE_OK; }
  sqlite3_int64 size() {
    sqlite3_int64 bytes = 0;
    require(file_->pMethods->xFileSize(file_, &bytes));
    return bytes;
  }
  std::array<char, header_size> head() {
    std::array<char, header_size> bytes{};
    const int code = file_->pMethods->xRead(file_, bytes.data(), static_cast<int>(header_size), 0);
    if (code != SQLITE_IOERR_SHORT_READ) require(code);
    return bytes;
  }

 private:
  static void require(int code) {
    if (code != SQLITE_OK) throw SQLite::Exception("the file's header cannot be read", code & 0xff);
  }
  std::vector<std::max_align_t> memory_;
  sqlite3_filename name_;
  sqlite3_file* file_;
  int opened_ = SQLITE_ERROR;
};

std::string full_path(sqlite3_vfs* vfs, const std::string& path) {
  std::vector<char> buffer(static_cast<std::size_t>(vfs->mxPathname) + 1);
  const int code = vfs->xFullPathname(vfs, path.c_str(), static_cast<int>(buffer.size()), buffer.data()) & 0xff;
  // A path through a symbolic link is told by a code of its own and is fine.
  if (code != SQLITE_OK) throw SQLite::Exception("the path cannot be read", SQLITE_CANTOPEN);
  return buffer.data();
}

}  // namespace

Header read_header(const std::string& path, const std::string& vfs_name) {
  sqlite3_initialize();
  sqlite3_vfs* vfs = sqlite3_vfs_find(vfs_name.empty() ? nullptr : vfs_name.c_str());
  if (vfs == nullptr) throw SQLite::Exception("no such file system", SQLITE_CANTOPEN);
  const std::string full = full_path(vfs, path);
  Header header;
  int journal = 0;
  header.unsettled = vfs->xAccess(vfs, (full + "-journal").c_str(), SQLITE_ACCESS_EXISTS, &journal) == SQLITE_OK && journal != 0;
  RawFile file(vfs, full);
  header.exists = file.is_open();
  if (!header.exists) return header;
  header.empty = file.size() == 0;
  const auto bytes = file.head();
  header.is_sqlite = std::string_view(bytes.data(), magic.size()) == magic;
  if (!header.is_sqlite) return header;
  header.version = big_endian(bytes, version_at);
  header.application = big_endian(bytes, application_at);
  return header;
}

}  // namespace leafturn::store
