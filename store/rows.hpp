#pragma once
/// Values to and from SQLite's columns; only store/ includes this.

#include <SQLiteCpp/SQLiteCpp.h>

#include <cstring>

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

/// Inserts rows into `events`, one prepared statement for all.
class EventWriter {
 public:
  explicit EventWriter(SQLite::Database& db)
      : insert_(db,
                "INSERT INTO events (seq, id, writer, writer_seq, happened_at_us, received_us, event_hash, heading_hash, link, bytes) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)") {}
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
