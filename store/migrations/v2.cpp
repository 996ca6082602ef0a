#include "store/migrations/schema.hpp"
#include "store/rows.hpp"

namespace leafturn::store {
namespace {

// Times are microseconds UTC, ids 16 bytes, digests 32.
constexpr const char* events_table = R"sql(
CREATE TABLE events (
  seq            INTEGER PRIMARY KEY CHECK (seq > 0),
  id             BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
  writer         TEXT    NOT NULL,
  writer_seq     INTEGER NOT NULL,
  happened_at_us INTEGER NOT NULL,
  received_us    INTEGER NOT NULL,
  event_hash     BLOB    NOT NULL CHECK (length(event_hash) = 32),
  heading_hash   BLOB    NOT NULL CHECK (length(heading_hash) = 32),
  link           BLOB    NOT NULL CHECK (length(link) = 32),
  bytes          BLOB    NOT NULL
) STRICT;
)sql";

constexpr const char* quarantine_table = R"sql(
CREATE TABLE quarantine (
  place          INTEGER PRIMARY KEY,
  id             BLOB    NOT NULL REFERENCES events (id),
  writer         TEXT    NOT NULL,
  writer_seq     INTEGER NOT NULL,
  happened_at_us INTEGER NOT NULL,
  received_us    INTEGER NOT NULL,
  event_hash     BLOB    NOT NULL CHECK (length(event_hash) = 32),
  bytes          BLOB    NOT NULL,
  UNIQUE (id, event_hash)
) STRICT;
)sql";

constexpr const char* snapshots_table = R"sql(
CREATE TABLE snapshots (
  kind  TEXT    PRIMARY KEY,
  seq   INTEGER NOT NULL,
  link  BLOB    NOT NULL CHECK (length(link) = 32),
  bytes BLOB    NOT NULL
) STRICT;
)sql";

constexpr const char* blobs_table = R"sql(
CREATE TABLE blobs (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  bytes  BLOB NOT NULL
) STRICT;
)sql";

void mark(SQLite::Database& db) {
  db.exec("PRAGMA application_id = " + std::to_string(application_id));
  db.exec("PRAGMA user_version = " + std::to_string(schema_version));
}

}  // namespace

void make_schema(SQLite::Database& db) {
  for (const char* table : {events_table, quarantine_table, snapshots_table, blobs_table}) db.exec(table);
  mark(db);
}

void migrate_v1_to_v2(SQLite::Database& db) {
  db.exec("ALTER TABLE events RENAME TO events_v1");
  db.exec("DROP TABLE snapshots");  // a cache: made again when next wanted
  for (const char* table : {events_table, quarantine_table, snapshots_table}) db.exec(table);
  SQLite::Statement old(
      db, "SELECT seq, received_us, link, id, writer, writer_seq, happened_at_us, bytes, event_hash FROM events_v1 ORDER BY seq");
  EventWriter writer(db);
  while (old.executeStep()) writer.put(entry_of(old), digest_of(old.getColumn(8)));
  db.exec("DROP TABLE events_v1");
  mark(db);
}

}  // namespace leafturn::store
