#include "store/migrations/tables.hpp"
#include "store/rows.hpp"

namespace leafturn::store {

void migrate_v1_to_v2(SQLite::Database& db) {
  db.exec("ALTER TABLE events RENAME TO events_v1");
  db.exec("DROP TABLE snapshots");  // a cache, kept elsewhere since version 3
  for (const char* table : {events_table, quarantine_table}) db.exec(table);
  SQLite::Statement old(
      db, "SELECT seq, received_us, link, id, writer, writer_seq, happened_at_us, bytes, event_hash FROM events_v1 ORDER BY seq");
  EventWriter writer(db);
  while (old.executeStep()) writer.put(entry_of(old), digest_of(old.getColumn(8)));
  db.exec("DROP TABLE events_v1");
  db.exec("PRAGMA user_version = 2");
}

}  // namespace leafturn::store
