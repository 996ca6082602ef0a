#pragma once
/// The ledger on one SQLite file; only store/ includes this.

#include <SQLiteCpp/SQLiteCpp.h>

#include <mutex>

#include "store/ledger.hpp"

namespace leafturn::store {

/// An SQLite exception as an error value: busy, full, read-only, damaged, no ledger, or input/output with SQLite's own words as fact
/// `detail`.
Error error_of(const SQLite::Exception& exception, const std::string& path);

/// A path that does not exist yet: `path`, or `path-2`, `path-3` …
std::string unused_path(const std::string& path);

/// Copies the whole file through SQLite's online backup to `path.partial`, makes it durable and renames it.
void copy_database(SQLite::Database& from, const std::string& path);
/// Makes a finished file durable under its final name. Throws SQLite::Exception when the file system refuses.
void settle_file(const std::string& partial, const std::string& path);

class SqliteLedger final : public Ledger {
 public:
  SqliteLedger(std::unique_ptr<SQLite::Database> db, std::string path);

  Result<std::vector<Receipt>> append(std::span<const Envelope> batch, Instant received, std::optional<std::uint64_t> after = {}) override;
  Result<std::vector<Entry>> read(std::uint64_t from_seq, std::size_t most) override;
  Result<std::vector<Quarantined>> quarantine() override;
  Result<std::uint64_t> last_seq() override;
  Result<Verification> verify(std::optional<Digest> head) override;
  Result<std::optional<Snapshot>> snapshot_get(const std::string& kind) override;
  Status snapshot_put(const std::string& kind, const Snapshot& snapshot) override;
  Result<Digest> blob_put(std::string_view bytes) override;
  Result<std::string> blob_get(const Digest& digest) override;
  Status backup(const std::string& to_path) override;

 private:
  /// Runs `work` alone; what SQLite throws becomes an error value.
  template <class Work>
  auto guarded(const Work& work) -> decltype(work()) {
    const std::lock_guard lock(mutex_);
    try {
      return work();
    } catch (const SQLite::Exception& e) {
      return fail(error_of(e, path_));
    }
  }
  std::optional<Digest> link_at(std::uint64_t seq);
  void verify_into(class Walk& walk);

  std::mutex mutex_;
  std::unique_ptr<SQLite::Database> db_;
  std::string path_;
};

}  // namespace leafturn::store
