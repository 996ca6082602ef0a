#pragma once
/// A file system for SQLite that lives in memory and loses what a disk may lose: whatever was written since the last sync, when the power
/// goes. Of that, a random part does reach the disk, sector by sector, in any order. Files can also be full or read-only.

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
