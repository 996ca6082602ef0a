#pragma once
/// The file's schema, version by version. A new version adds a file beside this one and a line to `migrate`; old ones never change.

#include <SQLiteCpp/SQLiteCpp.h>

namespace leafturn::store {

/// In the file's header (PRAGMA application_id): 'LfTn'.
inline constexpr int application_id = 0x4c66546e;
inline constexpr int schema_version = 3;

/// The current schema, for a new file.
void make_schema(SQLite::Database& db);
/// One step from version 1: headings get their hash, snapshots their link, quarantine a table. Inside the caller's transaction.
void migrate_v1_to_v2(SQLite::Database& db);
/// From version 2: tables for guests' chains; snapshots are files of their own now.
void migrate_v2_to_v3(SQLite::Database& db);

}  // namespace leafturn::store
