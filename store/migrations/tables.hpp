#pragma once
/// Tables that are the same since version 2. A version that needs another form brings its own; these never change.

#include "store/migrations/schema.hpp"

namespace leafturn::store {

// Times are microseconds UTC, ids 16 bytes, digests 32.
inline constexpr const char* events_table = R"sql(
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

inline constexpr const char* quarantine_table = R"sql(
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

}  // namespace leafturn::store
