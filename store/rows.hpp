#pragma once
/// Values to and from SQLite's columns; only store/ includes this.

#include <SQLiteCpp/SQLiteCpp.h>

#include <algorithm>
#include <cstring>
#include <limits>
#include <optional>
#include <string>

#include "store/chain.hpp"

namespace leafturn::store {

/// The columns `entry_of` reads, in its order.
inline constexpr const char* entry_columns = "seq, received_us, link, id, writer, writer_seq, happened_at_us, bytes";

template <std::size_t N>
void bind_bytes(SQLite::Statement& statement, int index, const std::array<std::uint8_t, N>& bytes) {
  statement.bind(index, bytes.data(), static_cast<int>(N));
}
inline void bind_blob(SQLite::Statement& statement, int index, std::string_view bytes) {
  // A null pointer would bind NULL.
  statement.bind(index, static_cast<const void*>(bytes.empty() ? "" : bytes.data()), static_cast<int>(bytes.size()));
}

/// A column of another length (a damaged file) reads as zeros, which no hash matches.
template <std::size_t N>
std::array<std::uint8_t, N> bytes_of(const SQLite::Column& column) {
  std::array<std::uint8_t, N> out{};
  if (column.isBlob() && column.getBytes() == static_cast<int>(N)) std::memcpy(out.data(), column.getBlob(), N);
  return out;
}
inline Digest digest_of(const SQLite::Column& column) { return Digest{bytes_of<32>(column)}; }
inline std::string text_of(const SQLite::Column& column) {
  const void* data = column.getBlob();
  return data == nullptr ? std::string{} : std::string(static_cast<const char*>(data), static_cast<std::size_t>(column.getBytes()));
}

inline Entry entry_of(SQLite::Statement& row) {
  Entry entry;
  entry.seq = static_cast<std::uint64_t>(row.getColumn(0).getInt64());
  entry.received = Instant::from_unix_microseconds(row.getColumn(1).getInt64());
  entry.link = digest_of(row.getColumn(2));
  entry.envelope.id = Id{bytes_of<16>(row.getColumn(3))};
  entry.envelope.writer = text_of(row.getColumn(4));
  entry.envelope.writer_seq = static_cast<std::uint64_t>(row.getColumn(5).getInt64());
  entry.envelope.happened_at = Instant::from_unix_microseconds(row.getColumn(6).getInt64());
  entry.envelope.bytes = text_of(row.getColumn(7));
  return entry;
}

inline std::int64_t sql_number(std::uint64_t value) {
  constexpr auto most = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());
  return static_cast<std::int64_t>(std::min(value, most));
}

struct Head {
  std::uint64_t seq = 0;
  Digest link;
};

inline Head head_of(SQLite::Database& db) {
  SQLite::Statement row(db, "SELECT seq, link FROM events ORDER BY seq DESC LIMIT 1");
  if (!row.executeStep()) return {};
  return {static_cast<std::uint64_t>(row.getColumn(0).getInt64()), digest_of(row.getColumn(1))};
}

inline std::optional<Digest> link_at(SQLite::Database& db, std::uint64_t seq) {
  if (seq == 0) return Digest{};
  SQLite::Statement row(db, "SELECT link FROM events WHERE seq = ?");
  row.bind(1, sql_number(seq));
  if (!row.executeStep()) return std::nullopt;
  return digest_of(row.getColumn(0));
}

/// Inserts rows into `events`, or into a guest's, one prepared statement for all.
class EventWriter {
 public:
  explicit EventWriter(SQLite::Database& db, std::optional<std::int64_t> guest = {})
      : insert_(db, std::string("INSERT INTO ") + (guest ? "guest_events" : "events") +
                        " (seq, id, writer, writer_seq, happened_at_us, received_us, event_hash, heading_hash, link, bytes" +
                        (guest ? ", guest" : "") + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?" + (guest ? ", " + std::to_string(*guest) : "") +
                        ")") {}
  void put(const Entry& entry, const Digest& event_hash) {
    insert_.reset();
    insert_.bind(1, static_cast<std::int64_t>(entry.seq));
    bind_bytes(insert_, 2, entry.envelope.id.bytes);
    insert_.bind(3, entry.envelope.writer);
    insert_.bind(4, static_cast<std::int64_t>(entry.envelope.writer_seq));
    insert_.bind(5, entry.envelope.happened_at.unix_microseconds());
    insert_.bind(6, entry.received.unix_microseconds());
    bind_bytes(insert_, 7, event_hash.bytes);
    bind_bytes(insert_, 8, heading_hash(entry.envelope).bytes);
    bind_bytes(insert_, 9, entry.link.bytes);
    bind_blob(insert_, 10, entry.envelope.bytes);
    insert_.exec();
  }

 private:
  SQLite::Statement insert_;
};

}  // namespace leafturn::store
