#include "tests/store/faults/power_cut_vfs.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cstring>
#include <map>
#include <mutex>
#include <optional>
#include <random>
#include <thread>
#include <utility>
#include <vector>

namespace leafturn::store::faults {
namespace {

constexpr std::size_t sector = 512;
constexpr std::size_t shared_region = 32768;

struct Change {
  std::size_t at = 0;
  std::string bytes;
  bool truncates = false;  // to `at`
};

struct File {
  bool exists = true;
  bool on_disk = false;  // its name survives a cut
  std::optional<std::string>
      former;  // a deleted file of the same name, which a cut may bring back whole: a name never shows a mix of the two
  std::string durable, current;
  std::vector<Change> pending;
  std::vector<std::unique_ptr<std::array<char, shared_region>>> shared;
  // Who holds which lock: readers by number, one writer by handle.
  int readers = 0;
  const void* reserved = nullptr;
  const void* exclusive = nullptr;
  std::array<int, SQLITE_SHM_NLOCK> shm_readers{};
  std::array<const void*, SQLITE_SHM_NLOCK> shm_writer{};
  int shm_users = 0;
};

void carry_out(std::string& bytes, const Change& change) {
  if (change.truncates) {
    bytes.resize(std::min(bytes.size(), change.at));
    return;
  }
  if (bytes.size() < change.at + change.bytes.size()) bytes.resize(change.at + change.bytes.size(), '\0');
  std::copy(change.bytes.begin(), change.bytes.end(), bytes.begin() + static_cast<std::ptrdiff_t>(change.at));
}

}  // namespace

struct PowerCutDisk::State {
  std::mt19937_64 random;
  std::string name;
  sqlite3_vfs vfs{};
  std::map<std::string, File> files;
  std::uint64_t until_cut = 0;   // 0 = no cut coming
  std::uint64_t until_full = 0;  // 0 = room
  std::uint64_t until_bad_sync = 0;
  Done done;
  bool off = false, full = false, only_reading = false;
  mutable std::recursive_mutex mutex;

  /// One operation that a cut can come before. False: the power is off.
  bool powered() {
    ++done.operations;
    if (until_cut != 0 && --until_cut == 0) off = true;
    return !off;
  }
  bool chance(double p) { return std::uniform_real_distribution<>(0, 1)(random) < p; }
  /// What the disk holds of a file when the power goes now: a random part of what was written since the last sync.
  std::string left_of(const File& file);
  void sync_folder() {
    std::erase_if(files, [](const auto& named) { return !named.second.exists; });
    for (auto& [name_of_file, file] : files) {
      file.former.reset();
      file.on_disk = true;
    }
  }
};

std::string PowerCutDisk::State::left_of(const File& file) {
  // From 'nothing was written' to 'nearly all was', and now and then torn within a write.
  const double kept = std::array{0.0, 0.3, 0.7, 0.95}[random() % 4];
  const bool torn = chance(0.5);
  std::string after = file.durable;
  for (const Change& change : file.pending) {
    if (change.truncates || !torn) {
      if (chance(kept)) carry_out(after, change);
      continue;
    }
    for (std::size_t from = 0; from < change.bytes.size();) {
      const std::size_t piece = std::min(sector - (change.at + from) % sector, change.bytes.size() - from);
      if (chance(kept)) carry_out(after, {change.at + from, change.bytes.substr(from, piece), false});
      from += piece;
    }
  }
  return after;
}

namespace {

using State = PowerCutDisk::State;

struct Handle {
  sqlite3_file base;
  State* disk;
  std::string* name;  // SQLite allocates a Handle without constructing it
  bool delete_on_close;
  int level;  // of the file's own lock
  bool maps_shared;
  bool syncs_folder;  // SQLite's own file system syncs the folder with the first sync of a journal it opened to create
};

Handle& handle(sqlite3_file* file) { return *reinterpret_cast<Handle*>(file); }
File& file_of(sqlite3_file* file) { return handle(file).disk->files[*handle(file).name]; }
State& disk_of(sqlite3_vfs* vfs) { return *static_cast<State*>(vfs->pAppData); }
using Guard = std::lock_guard<std::recursive_mutex>;

void leave_shared(sqlite3_file* file);

int unlock(sqlite3_file* file, int level);

int close(sqlite3_file* file) {
  Handle& h = handle(file);
  const Guard guard(h.disk->mutex);
  leave_shared(file);
  unlock(file, SQLITE_LOCK_NONE);
  if (h.delete_on_close) h.disk->files.erase(*h.name);
  delete h.name;
  h.name = nullptr;
  return SQLITE_OK;
}
int read(sqlite3_file* file, void* to, int amount, sqlite3_int64 at) {
  const Guard guard(handle(file).disk->mutex);
  if (handle(file).disk->off) return SQLITE_IOERR_READ;
  const std::string& bytes = file_of(file).current;
  const auto from = std::min(bytes.size(), static_cast<std::size_t>(at));
  const std::size_t there = std::min(bytes.size() - from, static_cast<std::size_t>(amount));
  std::memset(to, 0, static_cast<std::size_t>(amount));
  std::memcpy(to, bytes.data() + from, there);
  return there == static_cast<std::size_t>(amount) ? SQLITE_OK : SQLITE_IOERR_SHORT_READ;
}
int change(sqlite3_file* file, Change what) {
  File& f = file_of(file);
  const bool powered = handle(file).disk->powered();
  // The write during which the power goes may reach the disk in part.
  f.pending.push_back(what);
  if (!powered) return what.truncates ? SQLITE_IOERR_TRUNCATE : SQLITE_IOERR_WRITE;
  carry_out(f.current, what);
  return SQLITE_OK;
}
int write(sqlite3_file* file, const void* from, int amount, sqlite3_int64 at) {
  State& disk = *handle(file).disk;
  const Guard guard(disk.mutex);
  if (disk.off) return SQLITE_IOERR_WRITE;
  ++disk.done.writes;
  if (disk.until_full != 0 && --disk.until_full == 0) disk.full = true;
  if (disk.full) return SQLITE_FULL;
  return change(file, {static_cast<std::size_t>(at), std::string(static_cast<const char*>(from), static_cast<std::size_t>(amount)), false});
}
int truncate(sqlite3_file* file, sqlite3_int64 size) {
  const Guard guard(handle(file).disk->mutex);
  if (handle(file).disk->off) return SQLITE_IOERR_TRUNCATE;
  return change(file, {static_cast<std::size_t>(size), {}, true});
}
int sync(sqlite3_file* file, int) {
  Handle& h = handle(file);
  State& disk = *h.disk;
  const Guard guard(disk.mutex);
  if (disk.off || !disk.powered()) return SQLITE_IOERR_FSYNC;
  ++disk.done.syncs;
  File& f = file_of(file);
  const bool fails = disk.until_bad_sync != 0 && --disk.until_bad_sync == 0;
  // Only what was written since the last sync: what an earlier one lost is not written again.
  if (fails)
    f.durable = disk.left_of(f);
  else
    for (const Change& written : f.pending) carry_out(f.durable, written);
  f.pending.clear();
  if (fails) return SQLITE_IOERR_FSYNC;
  f.on_disk = true;
  f.former.reset();
  if (std::exchange(h.syncs_folder, false)) disk.sync_folder();
  return SQLITE_OK;
}
int size_of(sqlite3_file* file, sqlite3_int64* size) {
  const Guard guard(handle(file).disk->mutex);
  *size = static_cast<sqlite3_int64>(file_of(file).current.size());
  return SQLITE_OK;
}
// SQLite's locks (sqlite.org/c3ref/c_lock_exclusive.html): any number share, one reserves, and one alone writes.
int lock(sqlite3_file* file, int level) {
  Handle& h = handle(file);
  const Guard guard(h.disk->mutex);
  if (h.disk->off) return SQLITE_IOERR_LOCK;
  if (h.level >= level) return SQLITE_OK;
  File& f = file_of(file);
  if (h.level == SQLITE_LOCK_NONE) {
    if (f.exclusive != nullptr) return SQLITE_BUSY;
    ++f.readers;
    h.level = SQLITE_LOCK_SHARED;
  }
  if (level >= SQLITE_LOCK_RESERVED && h.level < SQLITE_LOCK_RESERVED) {
    if (f.reserved != nullptr && f.reserved != file) return SQLITE_BUSY;
    f.reserved = file;
    h.level = SQLITE_LOCK_RESERVED;
  }
  if (level >= SQLITE_LOCK_PENDING) {
    if (f.readers > 1) return SQLITE_BUSY;
    f.exclusive = file;
    h.level = SQLITE_LOCK_EXCLUSIVE;
  }
  return SQLITE_OK;
}
int unlock(sqlite3_file* file, int level) {
  Handle& h = handle(file);
  const Guard guard(h.disk->mutex);
  File& f = file_of(file);
  if (level < SQLITE_LOCK_RESERVED) {
    if (f.reserved == file) f.reserved = nullptr;
    if (f.exclusive == file) f.exclusive = nullptr;
  }
  if (level == SQLITE_LOCK_NONE && h.level > SQLITE_LOCK_NONE) --f.readers;
  h.level = std::min(h.level, level);
  return SQLITE_OK;
}
int reserved(sqlite3_file* file, int* out) {
  const Guard guard(handle(file).disk->mutex);
  *out = file_of(file).reserved != nullptr;
  return SQLITE_OK;
}
int control(sqlite3_file*, int, void*) { return SQLITE_NOTFOUND; }
int sector_size(sqlite3_file*) { return 4096; }
int characteristics(sqlite3_file*) { return SQLITE_IOCAP_POWERSAFE_OVERWRITE; }

int shm_map(sqlite3_file* file, int region, int, int extend, void volatile** out) {
  Handle& h = handle(file);
  const Guard guard(h.disk->mutex);
  File& f = file_of(file);
  if (!std::exchange(h.maps_shared, true)) ++f.shm_users;
  while (extend != 0 && f.shared.size() <= static_cast<std::size_t>(region))
    f.shared.push_back(std::make_unique<std::array<char, shared_region>>());
  *out = static_cast<std::size_t>(region) < f.shared.size() ? f.shared[static_cast<std::size_t>(region)]->data() : nullptr;
  return SQLITE_OK;
}
int shm_lock(sqlite3_file* file, int offset, int n, int flags) {
  const Guard guard(handle(file).disk->mutex);
  if (handle(file).disk->off && (flags & SQLITE_SHM_UNLOCK) == 0) return SQLITE_IOERR_SHMLOCK;
  File& f = file_of(file);
  const auto each = [&](const auto& slot) {
    for (int i = offset; i < offset + n; ++i)
      if (!slot(f.shm_readers[static_cast<std::size_t>(i)], f.shm_writer[static_cast<std::size_t>(i)])) return false;
    return true;
  };
  const bool share = (flags & SQLITE_SHM_SHARED) != 0;
  if ((flags & SQLITE_SHM_UNLOCK) != 0) {
    each([&](int& readers, const void*& writer) {
      if (share)
        --readers;
      else if (writer == file)
        writer = nullptr;
      return true;
    });
    return SQLITE_OK;
  }
  const bool free = each([&](int readers, const void* writer) { return (writer == nullptr || writer == file) && (share || readers == 0); });
  if (!free) return SQLITE_BUSY;
  each([&](int& readers, const void*& writer) {
    if (share)
      ++readers;
    else
      writer = file;
    return true;
  });
  return SQLITE_OK;
}
void shm_barrier(sqlite3_file* file) { const Guard guard(handle(file).disk->mutex); }
void leave_shared(sqlite3_file* file) {
  Handle& h = handle(file);
  if (!std::exchange(h.maps_shared, false)) return;
  File& f = file_of(file);
  // The last one out: nothing of it is needed to open again.
  if (--f.shm_users == 0) f.shared.clear();
}
int shm_unmap(sqlite3_file* file, int) {
  const Guard guard(handle(file).disk->mutex);
  leave_shared(file);
  return SQLITE_OK;
}

constexpr sqlite3_io_methods methods{2,         close,    read,    write,       truncate,        sync,    size_of,  lock,
                                     unlock,    reserved, control, sector_size, characteristics, shm_map, shm_lock, shm_barrier,
                                     shm_unmap, nullptr,  nullptr};

int open(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out_flags) {
  State& disk = disk_of(vfs);
  const Guard guard(disk.mutex);
  file->pMethods = nullptr;
  const std::string key = name != nullptr ? name : "temporary-" + std::to_string(disk.random());
  if (disk.off) return SQLITE_CANTOPEN;
  if (const auto found = disk.files.find(key); found == disk.files.end() || !found->second.exists) {
    if ((flags & SQLITE_OPEN_CREATE) == 0) return SQLITE_CANTOPEN;
    disk.files[key].exists = true;
  }
  Handle& h = handle(file);
  h.disk = &disk;
  h.name = new std::string(key);
  h.level = SQLITE_LOCK_NONE;
  h.maps_shared = false;
  h.delete_on_close = (flags & SQLITE_OPEN_DELETEONCLOSE) != 0;
  h.syncs_folder =
      (flags & SQLITE_OPEN_CREATE) != 0 && (flags & (SQLITE_OPEN_MAIN_JOURNAL | SQLITE_OPEN_SUPER_JOURNAL | SQLITE_OPEN_WAL)) != 0;
  h.base.pMethods = &methods;
  if (out_flags != nullptr) *out_flags = disk.only_reading ? ((flags & ~SQLITE_OPEN_READWRITE) | SQLITE_OPEN_READONLY) : flags;
  return SQLITE_OK;
}
int remove(sqlite3_vfs* vfs, const char* name, int sync_folder) {
  State& disk = disk_of(vfs);
  const Guard guard(disk.mutex);
  if (disk.off || !disk.powered()) return SQLITE_IOERR_DELETE;
  const auto found = disk.files.find(name);
  if (found == disk.files.end() || !found->second.exists) return SQLITE_IOERR_DELETE_NOENT;
  File gone;
  gone.exists = false;
  gone.former = found->second.on_disk ? std::optional(found->second.durable) : found->second.former;
  if (sync_folder != 0 || !gone.former)
    disk.files.erase(found);
  else
    found->second = std::move(gone);
  return SQLITE_OK;
}
int access(sqlite3_vfs* vfs, const char* name, int flags, int* out) {
  const State& disk = disk_of(vfs);
  const Guard guard(disk.mutex);
  const auto found = disk.files.find(name);
  const bool there = found != disk.files.end() && found->second.exists;
  *out = there && !(flags == SQLITE_ACCESS_READWRITE && disk.only_reading);
  return SQLITE_OK;
}
int full_path(sqlite3_vfs*, const char* name, int size, char* out) {
  sqlite3_snprintf(size, out, "%s", name);
  return SQLITE_OK;
}
int randomness(sqlite3_vfs* vfs, int size, char* out) {
  const Guard guard(disk_of(vfs).mutex);
  for (int i = 0; i < size; ++i) out[i] = static_cast<char>(disk_of(vfs).random());
  return size;
}
int sleep(sqlite3_vfs*, int microseconds) {
  std::this_thread::sleep_for(std::chrono::microseconds(microseconds));
  return microseconds;
}
int now(sqlite3_vfs*, double* julian_day) {
  *julian_day = 2'461'000.5;
  return SQLITE_OK;
}

}  // namespace

PowerCutDisk::PowerCutDisk(std::uint64_t seed) : state_{std::make_unique<State>()} {
  static std::atomic<int> count{0};
  State& s = *state_;
  s.random.seed(seed);
  s.name = "leafturn-power-cut-" + std::to_string(++count);
  s.vfs.iVersion = 1;
  s.vfs.szOsFile = sizeof(Handle);
  s.vfs.mxPathname = 512;
  s.vfs.zName = s.name.c_str();
  s.vfs.pAppData = state_.get();
  s.vfs.xOpen = open;
  s.vfs.xDelete = remove;
  s.vfs.xAccess = access;
  s.vfs.xFullPathname = full_path;
  s.vfs.xRandomness = randomness;
  s.vfs.xSleep = sleep;
  s.vfs.xCurrentTime = now;
  sqlite3_vfs_register(&s.vfs, 0);
}

PowerCutDisk::~PowerCutDisk() { sqlite3_vfs_unregister(&state_->vfs); }

const std::string& PowerCutDisk::vfs() const { return state_->name; }
void PowerCutDisk::cut_after(std::uint64_t operations) {
  const Guard guard(state_->mutex);
  state_->until_cut = operations;
}
bool PowerCutDisk::is_off() const {
  const Guard guard(state_->mutex);
  return state_->off;
}
void PowerCutDisk::fail_sync_after(std::uint64_t syncs) {
  const Guard guard(state_->mutex);
  state_->until_bad_sync = syncs;
}
PowerCutDisk::Done PowerCutDisk::done() const {
  const Guard guard(state_->mutex);
  return state_->done;
}

void PowerCutDisk::power_on() {
  State& s = *state_;
  const Guard guard(s.mutex);
  for (auto at = s.files.begin(); at != s.files.end();) {
    File& file = at->second;
    if (!file.on_disk && (!file.exists || s.chance(0.5))) {
      if (!file.former || (!file.exists && s.chance(0.5))) {
        at = s.files.erase(at);
        continue;
      }
      const std::string back = *file.former;
      file = File{};
      file.durable = back;
    }
    file.durable = file.current = s.left_of(file);
    file.pending.clear();
    file.shared.clear();
    file.on_disk = true;
    file.former.reset();
    ++at;
  }
  s.off = false;
  s.until_cut = 0;
}

void PowerCutDisk::full_after(std::uint64_t writes) {
  const Guard guard(state_->mutex);
  state_->until_full = writes;
  state_->full = false;
}
void PowerCutDisk::read_only(bool on) { state_->only_reading = on; }

std::string PowerCutDisk::bytes(const std::string& file) const {
  const auto found = state_->files.find(file);
  return found == state_->files.end() ? std::string{} : found->second.current;
}

void PowerCutDisk::put(const std::string& file, const std::string& bytes) {
  File& f = state_->files[file];
  f = File{};
  f.on_disk = true;
  f.durable = f.current = bytes;
}

}  // namespace leafturn::store::faults
