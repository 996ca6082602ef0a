#pragma once
/// The ledger on one SQLite file; only store/ includes this.

#include <SQLiteCpp/SQLiteCpp.h>

#include <atomic>
#include <memory>
#include <mutex>
#include <vector>

#include "store/ledger.hpp"
#include "store/together.hpp"

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

/// What says, across a restart, that a sync failed: an empty file beside the ledger. Nothing for a file system of the tests'.
std::string not_kept_path(const std::string& path, const OpenOptions& options);

/// Connections that only read, one per reader at a time, kept for the next.
class Readers {
 public:
  Readers(std::string path, OpenOptions options) : path_{std::move(path)}, options_{std::move(options)} {}
  /// Throws SQLite::Exception.
  std::unique_ptr<SQLite::Database> take();
  void give_back(std::unique_ptr<SQLite::Database> db);

 private:
  std::string path_;
  OpenOptions options_;
  std::mutex mutex_;
  std::vector<std::unique_ptr<SQLite::Database>> idle_;
};

/// Walks a chain of the file: this garden's own, or a guest's.
void walk_chain(SQLite::Database& db, std::optional<std::int64_t> guest, class Walk& walk);
std::vector<std::pair<std::int64_t, Guest>> guests_of(SQLite::Database& db);
/// Everything `verify` looks at, on one view of the file.
Verification verify_file(SQLite::Database& db, std::optional<Digest> head);

class SqliteLedger final : public Ledger {
 public:
  SqliteLedger(std::unique_ptr<SQLite::Database> db, std::string path, const OpenOptions& options);
  ~SqliteLedger() override;

  Result<std::vector<Receipt>> append(std::span<const Envelope> batch, Instant received, std::optional<std::uint64_t> after = {}) override;
  Result<std::vector<Entry>> read(std::uint64_t from_seq, std::size_t most) override;
  Result<std::vector<Entry>> read_at(std::span<const std::uint64_t> seqs) override;
  Result<std::optional<Entry>> find(const Id& id) override;
  Result<std::vector<Quarantined>> quarantine() override;
  Result<std::uint64_t> last_seq() override;
  Status writable() override;
  Result<Verification> verify(std::optional<Digest> head) override;
  Result<std::optional<Snapshot>> snapshot_get(const std::string& kind) override;
  Status snapshot_put(const std::string& kind, const Snapshot& snapshot) override;
  Status adopt(std::span<const Entry> entries) override;
  Status adopt_guest(const std::string& name, std::span<const Entry> entries, Instant now) override;
  Result<std::vector<Guest>> guests() override;
  Result<std::vector<Entry>> read_guest(const Digest& origin, std::uint64_t from_seq, std::size_t most) override;
  Result<Digest> blob_put(std::string_view bytes) override;
  Result<std::string> blob_get(const Digest& digest) override;
  Status backup(const std::string& to_path) override;

 private:
  /// One append of several that share a commit.
  struct Job {
    std::span<const Envelope> batch;
    Instant received;
    std::optional<std::uint64_t> after;
    Result<std::vector<Receipt>> answer;
  };
  void append_all(std::span<Job* const> jobs);

  /// Runs `work(db)` alone on the connection that writes; what SQLite throws becomes an error value, and what the disk did not keep ends
  /// all writing.
  template <class Work>
  Status writing(const Work& work) {
    const std::lock_guard lock(mutex_);
    if (const Status fit = writable(); !fit) return fit;
    try {
      work(*db_);
      checkpoint();
      return {};
    } catch (const SQLite::Exception& e) {
      return fail(after_failure(e));
    }
  }
  /// Runs `work(db)` on a connection of its own.
  template <class Work>
  auto reading(const Work& work) -> decltype(work(std::declval<SQLite::Database&>())) {
    try {
      auto db = readers_.take();
      auto answer = work(*db);
      readers_.give_back(std::move(db));
      return answer;
    } catch (const SQLite::Exception& e) {
      return fail(error_of(e, path_));
    }
  }
  Error after_failure(const SQLite::Exception& e);
  void checkpoint();

  std::string path_;
  OpenOptions options_;
  std::mutex mutex_;  ///< guards the connection that writes
  std::unique_ptr<SQLite::Database> db_;
  int log_pages_ = 0;  ///< in the write-ahead log after the last commit
  std::atomic<bool> not_kept_{false};
  bool read_only_ = false;
  Together<Job> appends_;
  Readers readers_;
};

}  // namespace leafturn::store
