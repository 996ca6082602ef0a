#pragma once
/// A file system for SQLite that lives in memory and loses what a disk may lose: whatever was written since the last sync, when the power
/// goes. Of that, a random part does reach the disk, sector by sector, in any order. Files can also be full or read-only, and a sync can
/// fail. Several connections and threads may use it at once.

#include <cstdint>
#include <memory>
#include <string>

namespace leafturn::store::faults {

class PowerCutDisk {
 public:
  /// Registers itself with SQLite under a name of its own.
  explicit PowerCutDisk(std::uint64_t seed);
  ~PowerCutDisk();
  PowerCutDisk(const PowerCutDisk&) = delete;
  PowerCutDisk& operator=(const PowerCutDisk&) = delete;

  const std::string& vfs() const;
  /// The power goes at the n-th write, sync, truncation or deletion from now (1 = the next); every call after it fails until `power_on`.
  void cut_after(std::uint64_t operations);
  bool is_off() const;
  /// What the disk holds after the cut becomes what the files hold. Without a cut before: pulls the plug now.
  void power_on();
  /// The n-th write from now and all after it find no room. 0 = room again.
  void full_after(std::uint64_t writes);
  /// The n-th sync from now fails, and only that one. What it should have kept reaches the disk in part, as in a power cut, but whoever
  /// reads sees all of it, and no later sync writes it again: so do systems that mark pages clean when writing them failed. 0 = none.
  void fail_sync_after(std::uint64_t syncs);
  /// Operations a cut can come before, so far, and writes and syncs among them.
  struct Done {
    std::uint64_t operations = 0, writes = 0, syncs = 0;
  };
  Done done() const;
  /// Files open for reading only.
  void read_only(bool on);
  /// Bytes now in a file; empty when there is none.
  std::string bytes(const std::string& file) const;
  void put(const std::string& file, const std::string& bytes);

  struct State;

 private:
  std::unique_ptr<State> state_;
};

}  // namespace leafturn::store::faults
