#include "store/chain.hpp"
#include "store/rows.hpp"
#include "store/sqlite_ledger.hpp"

namespace leafturn::store {
namespace {

/// Writes what of a chain isn't here yet.
void write_rest(SQLite::Database& db, std::span<const Entry> entries, std::uint64_t have, std::optional<std::int64_t> guest) {
  EventWriter writer(db, guest);
  for (const Entry& entry : entries.subspan(static_cast<std::size_t>(have))) writer.put(entry, sha256(entry.envelope.bytes));
}

std::string of_chain(std::optional<std::int64_t> guest) {
  return guest ? " FROM guest_events WHERE guest = " + std::to_string(*guest) : std::string(" FROM events");
}

/// How many entries are here already; a refusal when one of them is another, or when the rest doesn't follow.
Result<std::uint64_t> agreed(SQLite::Database& db, std::span<const Entry> entries, std::optional<std::int64_t> guest) {
  SQLite::Statement rows(db, "SELECT seq, link" + of_chain(guest) + " ORDER BY seq");
  std::uint64_t have = 0;
  while (have < entries.size() && rows.executeStep()) {
    if (digest_of(rows.getColumn(1)) != entries[have].link)
      return fail("ledger.chains_differ", {}, {{"seq", rows.getColumn(0).getInt64()}}, ErrorKind::conflict);
    ++have;
  }
  const auto rest = entries.subspan(static_cast<std::size_t>(have));
  if (const Status whole = check_chain(rest, have, have == 0 ? Digest{} : entries[have - 1].link); !whole) return fail(whole.error());
  return have;
}

}  // namespace

std::vector<std::pair<std::int64_t, Guest>> guests_of(SQLite::Database& db) {
  SQLite::Statement rows(db,
                         "SELECT g.guest, g.origin, g.name, g.since_us, coalesce(e.seq, 0), e.link FROM guests g LEFT JOIN guest_events e "
                         "ON e.guest = g.guest AND e.seq = (SELECT max(seq) FROM guest_events WHERE guest = g.guest) ORDER BY g.guest");
  std::vector<std::pair<std::int64_t, Guest>> found;
  while (rows.executeStep())
    found.emplace_back(
        rows.getColumn(0).getInt64(),
        Guest{digest_of(rows.getColumn(1)), text_of(rows.getColumn(2)), Instant::from_unix_microseconds(rows.getColumn(3).getInt64()),
              static_cast<std::uint64_t>(rows.getColumn(4).getInt64()), digest_of(rows.getColumn(5))});
  return found;
}

Status SqliteLedger::adopt(std::span<const Entry> entries) {
  Status refused;
  const Status done = writing([&](SQLite::Database& db) {
    SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
    const auto have = agreed(db, entries, {});
    if (!have) {
      refused = fail(have.error());
      return;
    }
    write_rest(db, entries, *have, {});
    transaction.commit();
  });
  return done ? refused : done;
}

Status SqliteLedger::adopt_guest(const std::string& name, std::span<const Entry> entries, Instant now) {
  if (entries.empty()) return {};
  Status refused;
  const Status done = writing([&](SQLite::Database& db) {
    SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
    {
      SQLite::Statement come(db, "INSERT OR IGNORE INTO guests (origin, name, since_us) VALUES (?, ?, ?)");
      bind_bytes(come, 1, entries.front().link.bytes);
      come.bind(2, name);
      come.bind(3, now.unix_microseconds());
      come.exec();
    }
    std::int64_t guest = 0;
    {
      SQLite::Statement row(db, "SELECT guest FROM guests WHERE origin = ?");
      bind_bytes(row, 1, entries.front().link.bytes);
      if (row.executeStep()) guest = row.getColumn(0).getInt64();
    }
    const auto have = agreed(db, entries, guest);
    if (!have) {
      refused = fail(have.error());
      return;
    }
    write_rest(db, entries, *have, guest);
    transaction.commit();
  });
  return done ? refused : done;
}

Result<std::vector<Guest>> SqliteLedger::guests() {
  return reading([&](SQLite::Database& db) -> Result<std::vector<Guest>> {
    std::vector<Guest> found;
    for (auto& [number, guest] : guests_of(db)) found.push_back(std::move(guest));
    return found;
  });
}

Result<std::vector<Entry>> SqliteLedger::read_guest(const Digest& origin, std::uint64_t from_seq, std::size_t most) {
  return reading([&](SQLite::Database& db) -> Result<std::vector<Entry>> {
    SQLite::Statement rows(db, std::string("SELECT ") + entry_columns +
                                   " FROM guest_events WHERE guest = (SELECT guest FROM guests WHERE origin = ?) AND seq >= ? "
                                   "ORDER BY seq LIMIT ?");
    bind_bytes(rows, 1, origin.bytes);
    rows.bind(2, sql_number(from_seq));
    rows.bind(3, sql_number(most));
    std::vector<Entry> entries;
    while (rows.executeStep()) entries.push_back(entry_of(rows));
    return entries;
  });
}

}  // namespace leafturn::store
