#include "store/migrations/tables.hpp"

namespace leafturn::store {
namespace {

constexpr const char* blobs_table = R"sql(
CREATE TABLE blobs (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  bytes  BLOB NOT NULL
) STRICT;
)sql";

constexpr const char* guest_tables = R"sql(
CREATE TABLE guests (
  guest    INTEGER PRIMARY KEY,
  origin   BLOB    NOT NULL UNIQUE CHECK (length(origin) = 32),
  name     TEXT    NOT NULL,
  since_us INTEGER NOT NULL
) STRICT;
CREATE TABLE guest_events (
  guest          INTEGER NOT NULL REFERENCES guests (guest),
  seq            INTEGER NOT NULL CHECK (seq > 0),
  id             BLOB    NOT NULL CHECK (length(id) = 16),
  writer         TEXT    NOT NULL,
  writer_seq     INTEGER NOT NULL,
  happened_at_us INTEGER NOT NULL,
  received_us    INTEGER NOT NULL,
  event_hash     BLOB    NOT NULL CHECK (length(event_hash) = 32),
  heading_hash   BLOB    NOT NULL CHECK (length(heading_hash) = 32),
  link           BLOB    NOT NULL CHECK (length(link) = 32),
  bytes          BLOB    NOT NULL,
  PRIMARY KEY (guest, seq)
) STRICT, WITHOUT ROWID;
)sql";

}  // namespace

void make_schema(SQLite::Database& db) {
  for (const char* tables : {events_table, quarantine_table, blobs_table, guest_tables}) db.exec(tables);
  db.exec("PRAGMA application_id = " + std::to_string(application_id));
  db.exec("PRAGMA user_version = " + std::to_string(schema_version));
}

void migrate_v2_to_v3(SQLite::Database& db) {
  db.exec("DROP TABLE IF EXISTS snapshots");
  db.exec(guest_tables);
  db.exec("PRAGMA user_version = 3");
}

}  // namespace leafturn::store
