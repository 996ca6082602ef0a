#include "store/sqlite_ledger.hpp"

#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <algorithm>

#include "store/chain.hpp"
#include "store/rows.hpp"
#include "store/snapshot_file.hpp"

namespace leafturn::store {
namespace {

/// One commit's way into the file, inside one transaction.
class Appender {
 public:
  explicit Appender(SQLite::Database& db)
      : head_{head_of(db)},
        find_(db, "SELECT seq, link, event_hash FROM events WHERE id = ?"),
        write_(db),
        quarantine_(db,
                    "INSERT OR IGNORE INTO quarantine (id, writer, writer_seq, happened_at_us, received_us, event_hash, bytes) "
                    "VALUES (?, ?, ?, ?, ?, ?, ?)") {}

  std::uint64_t last_seq() const { return head_.seq; }

  Receipt put(const Envelope& envelope, Instant received) {
    const Digest hash = sha256(envelope.bytes);
    find_.reset();
    bind_bytes(find_, 1, envelope.id.bytes);
    if (find_.executeStep()) {
      if (digest_of(find_.getColumn(2)) == hash)
        return {envelope.id, static_cast<std::uint64_t>(find_.getColumn(0).getInt64()), digest_of(find_.getColumn(1)),
                Receipt::Kind::had_it};
      set_aside(envelope, received, hash);
      return {envelope.id, 0, Digest{}, Receipt::Kind::quarantined};
    }
    const std::uint64_t seq = head_.seq + 1;
    head_ = {seq, next_link(head_.link, seq, received, hash)};
    write_.put(Entry{seq, received, head_.link, envelope}, hash);
    return {envelope.id, seq, head_.link, Receipt::Kind::appended};
  }

 private:
  void set_aside(const Envelope& envelope, Instant received, const Digest& hash) {
    quarantine_.reset();
    bind_bytes(quarantine_, 1, envelope.id.bytes);
    quarantine_.bind(2, envelope.writer);
    quarantine_.bind(3, sql_number(envelope.writer_seq));
    quarantine_.bind(4, envelope.happened_at.unix_microseconds());
    quarantine_.bind(5, received.unix_microseconds());
    bind_bytes(quarantine_, 6, hash.bytes);
    bind_blob(quarantine_, 7, envelope.bytes);
    quarantine_.exec();
  }

  Head head_;
  SQLite::Statement find_;
  EventWriter write_;
  SQLite::Statement quarantine_;
};

int note_log_pages(void* pages, sqlite3*, const char*, int in_log) {
  *static_cast<int*>(pages) = in_log;
  return SQLITE_OK;
}

Error not_kept(const std::string& path) { return {"ledger.not_kept", Where{path, 0, {}}, {}, ErrorKind::cannot}; }

}  // namespace

std::string not_kept_path(const std::string& path, const OpenOptions& options) {
  return options.vfs.empty() ? path + ".not-kept" : std::string{};
}

SqliteLedger::SqliteLedger(std::unique_ptr<SQLite::Database> db, std::string path, const OpenOptions& options)
    : path_{std::move(path)}, options_{options}, db_{std::move(db)}, readers_{path_, options_} {
  read_only_ = sqlite3_db_readonly(db_->getHandle(), "main") != 0;
  // This also turns SQLite's own checkpoints off: it keeps their errors to itself, and a sync that failed must be known.
  sqlite3_wal_hook(db_->getHandle(), note_log_pages, &log_pages_);
}

SqliteLedger::~SqliteLedger() {
  // A log that may hold what the disk lost is left for the next opening to write anew.
  if (not_kept_) sqlite3_db_config(db_->getHandle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
}

Status SqliteLedger::writable() {
  if (not_kept_) return fail(not_kept(path_));
  if (read_only_) return fail("ledger.read_only", Where{path_, 0, {}}, {}, ErrorKind::cannot);
  return {};
}

Error SqliteLedger::after_failure(const SQLite::Exception& e) {
  if (e.getErrorCode() != SQLITE_IOERR) return error_of(e, path_);
  not_kept_ = true;
  // As far as this disk still takes anything: the next opening then verifies the whole chain.
  if (const std::string marker = not_kept_path(path_, options_); !marker.empty())
    if (const int file = ::open(marker.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600); file >= 0) ::close(file);
  return not_kept(path_);
}

void SqliteLedger::checkpoint() {
  constexpr int enough_pages = 1000;
  if (log_pages_ < enough_pages) return;
  // Without room for it the log goes on growing, while there is room for that; what is in it is on the disk already.
  const int code = sqlite3_wal_checkpoint_v2(db_->getHandle(), "main", SQLITE_CHECKPOINT_PASSIVE, nullptr, nullptr);
  if (code != SQLITE_OK && code != SQLITE_BUSY && code != SQLITE_LOCKED && code != SQLITE_FULL)
    throw SQLite::Exception("checkpoint", code & 0xff);
}

void SqliteLedger::append_all(std::span<Job* const> jobs) {
  const Status done = writing([&](SQLite::Database& db) {
    SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
    {
      Appender appender(db);
      for (Job* job : jobs) {
        if (job->after && appender.last_seq() != *job->after) {
          job->answer = fail("ledger.moved_on", {}, {}, ErrorKind::conflict);
          continue;
        }
        std::vector<Receipt> receipts;
        receipts.reserve(job->batch.size());
        for (const Envelope& envelope : job->batch) receipts.push_back(appender.put(envelope, job->received));
        job->answer = std::move(receipts);
      }
    }
    transaction.commit();
  });
  if (!done)
    for (Job* job : jobs) job->answer = fail(done.error());
}

Result<std::vector<Receipt>> SqliteLedger::append(std::span<const Envelope> batch, Instant received, std::optional<std::uint64_t> after) {
  for (const Envelope& envelope : batch)
    if (const Status good = check_envelope(envelope); !good) return fail(good.error());
  Job job{batch, received, after, {}};
  appends_.run(job, [&](std::span<Job* const> jobs) { append_all(jobs); });
  return std::move(job.answer);
}

Status SqliteLedger::snapshot_put(const std::string& kind, const Snapshot& snapshot) {
  const auto link = reading([&](SQLite::Database& db) -> Result<std::optional<Digest>> { return link_at(db, snapshot.seq); });
  if (!link) return fail(link.error());
  if (!*link) return fail("ledger.snapshot_ahead", Where{path_, 0, "seq"}, {{"seq", sql_number(snapshot.seq)}});
  return write_snapshot(snapshot_path(path_, kind), **link, snapshot);
}

Result<Digest> SqliteLedger::blob_put(std::string_view bytes) {
  const Digest digest = sha256(bytes);
  const Status done = writing([&](SQLite::Database& db) {
    SQLite::Statement put(db, "INSERT OR IGNORE INTO blobs (digest, bytes) VALUES (?, ?)");
    bind_bytes(put, 1, digest.bytes);
    bind_blob(put, 2, bytes);
    put.exec();
  });
  if (!done) return fail(done.error());
  return digest;
}

}  // namespace leafturn::store
