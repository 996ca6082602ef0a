#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "store/ledger.hpp"
#include "tests/store/faults/runs.hpp"

namespace leafturn::store::faults {
namespace fs = std::filesystem;
namespace {

std::string slurp(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void spill(const std::string& path, const std::string& bytes) {
  for (const char* ending : {"-wal", "-shm"}) fs::remove(path + ending);
  std::ofstream(path, std::ios::binary) << bytes;
}

const std::string marker = "{\"kind\":\"count_taken\",\"count\":3,\"by\":\"";

void make_ledger(const std::string& path) {
  fs::remove(path);
  const auto ledger = open_sqlite(path, {.create = true});
  const auto start = Instant::from_unix_microseconds(1'780'000'000'000'000);
  for (std::uint8_t n = 1; n <= 3; ++n) {
    const Envelope one{Id::version7(1'780'000'000'000ULL, {n, 1, 2, 3, 4, 5, 6, 7, 8, 9}), "writer", n, start,
                       marker + std::to_string(n) + "\"}"};
    (*ledger)->append({&one, 1}, start + Duration::hours(n));
  }
}

bool is_found(const std::string& path) {
  const auto ledger = open_sqlite(path);
  if (!ledger) return true;
  const auto verified = (*ledger)->verify();
  return !verified || !verified->intact;
}

void note(Tampering& result, bool found, const std::string& what) {
  ++result.changes;
  if (found)
    ++result.found;
  else
    result.missed.push_back(what);
}

}  // namespace

Tampering tamper(const std::string& folder) {
  Tampering result;
  const std::string path = folder + "/tampered.db";
  make_ledger(path);
  const std::string whole = slurp(path);

  // The row of event 2 in the file: SQLite lays its columns out one after the other, the event's bytes last.
  const std::string bytes = marker + "2\"}";
  const std::size_t end = whole.find(bytes) + bytes.size();
  const std::size_t columns = 16 + 6 + 1 + 8 + 8 + 3 * 32;  // id, writer, writer_seq, two times, three digests
  for (std::size_t at = end - bytes.size() - columns; at < end; ++at) {
    std::string changed = whole;
    changed[at] = static_cast<char>(changed[at] ^ (1 << at % 8));
    spill(path, changed);
    note(result, is_found(path), "byte " + std::to_string(end - at) + " before the row's end");
  }

  for (const char* change :
       {"UPDATE events SET bytes = CAST(replace(CAST(bytes AS TEXT), ':3', ':4') AS BLOB) WHERE seq = 2",
        "UPDATE events SET writer = 'other' WHERE seq = 2", "UPDATE events SET writer_seq = 7 WHERE seq = 2",
        "UPDATE events SET happened_at_us = happened_at_us + 1 WHERE seq = 2",
        "UPDATE events SET received_us = received_us - 1 WHERE seq = 2", "UPDATE events SET id = zeroblob(16) WHERE seq = 2",
        "UPDATE events SET link = zeroblob(32) WHERE seq = 2", "UPDATE events SET event_hash = zeroblob(32) WHERE seq = 2",
        "DELETE FROM events WHERE seq = 2", "UPDATE events SET seq = 9 WHERE seq = 3"}) {
    spill(path, whole);
    {
      SQLite::Database db(path, SQLite::OPEN_READWRITE);
      db.exec(change);
    }
    note(result, is_found(path), change);
  }
  return result;
}

}  // namespace leafturn::store::faults
