#include "store/write_out.hpp"

#include <filesystem>

#include "store/migrations/schema.hpp"
#include "store/rows.hpp"
#include "store/sqlite_ledger.hpp"

namespace leafturn::store {
namespace {

void write_events(SQLite::Database& db, const Contents& contents) {
  EventWriter writer(db);
  for (const Entry& entry : contents.entries) writer.put(entry, sha256(entry.envelope.bytes));
  for (const Quarantined& q : contents.quarantined) {
    SQLite::Statement put(db,
                          "INSERT INTO quarantine (id, writer, writer_seq, happened_at_us, received_us, event_hash, bytes) "
                          "VALUES (?, ?, ?, ?, ?, ?, ?)");
    bind_bytes(put, 1, q.envelope.id.bytes);
    put.bind(2, q.envelope.writer);
    put.bind(3, static_cast<std::int64_t>(q.envelope.writer_seq));
    put.bind(4, q.envelope.happened_at.unix_microseconds());
    put.bind(5, q.received.unix_microseconds());
    bind_bytes(put, 6, sha256(q.envelope.bytes).bytes);
    bind_blob(put, 7, q.envelope.bytes);
    put.exec();
  }
}

void write_rest(SQLite::Database& db, const Contents& contents) {
  std::int64_t number = 0;
  for (const auto& [guest, entries] : contents.guests) {
    ++number;
    SQLite::Statement put(db, "INSERT INTO guests (guest, origin, name, since_us) VALUES (?, ?, ?, ?)");
    put.bind(1, number);
    bind_bytes(put, 2, guest.origin.bytes);
    put.bind(3, guest.name);
    put.bind(4, guest.since.unix_microseconds());
    put.exec();
    EventWriter writer(db, number);
    for (const Entry& entry : entries) writer.put(entry, sha256(entry.envelope.bytes));
  }
  for (const auto& [digest, bytes] : contents.blobs) {
    SQLite::Statement put(db, "INSERT INTO blobs (digest, bytes) VALUES (?, ?)");
    bind_bytes(put, 1, digest.bytes);
    bind_blob(put, 2, bytes);
    put.exec();
  }
}

}  // namespace

Status write_out(const Contents& contents, const std::string& path) {
  std::error_code ignored;
  if (std::filesystem::exists(path, ignored)) return fail("ledger.backup_exists", Where{path, 0, {}});
  const std::string partial = path + ".partial";
  std::filesystem::remove(partial, ignored);
  try {
    {
      SQLite::Database db(partial, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
      SQLite::Transaction transaction(db);
      make_schema(db);
      write_events(db, contents);
      write_rest(db, contents);
      transaction.commit();
    }
    settle_file(partial, path);
  } catch (const SQLite::Exception& e) {
    std::filesystem::remove(partial, ignored);
    return fail(error_of(e, path));
  }
  return {};
}

}  // namespace leafturn::store
