#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <unistd.h>

#include <mutex>

#include "store/access_book.hpp"
#include "store/rows.hpp"

namespace leafturn::store {
namespace {

constexpr int book_id = 0x4c664163;  // 'LfAc'
constexpr int book_version = 2;
constexpr int wait_ms = 5000;

constexpr const char* schema = R"(
CREATE TABLE book (salt BLOB NOT NULL);
CREATE TABLE people (place INTEGER PRIMARY KEY, id BLOB NOT NULL UNIQUE, name TEXT NOT NULL, role TEXT NOT NULL, added_us INTEGER NOT NULL,
                     erased_us INTEGER);
CREATE UNIQUE INDEX one_of_a_name ON people (name) WHERE erased_us IS NULL;
CREATE TABLE pairings (person BLOB NOT NULL PRIMARY KEY, code BLOB NOT NULL UNIQUE, device TEXT NOT NULL, made_us INTEGER NOT NULL,
                       until_us INTEGER NOT NULL);
CREATE TABLE sessions (id BLOB NOT NULL PRIMARY KEY, secret BLOB NOT NULL UNIQUE, person BLOB NOT NULL, device TEXT NOT NULL,
                       since_us INTEGER NOT NULL, seen_us INTEGER NOT NULL, ends_us INTEGER NOT NULL, revoked_us INTEGER);
CREATE INDEX sessions_of ON sessions (person);
)";
// Since version 2.
constexpr const char* particulars_schema =
    "CREATE TABLE particulars (person BLOB NOT NULL, what TEXT NOT NULL, value TEXT NOT NULL, PRIMARY KEY (person, what))";
constexpr const char* person_columns = "p.id, p.name, p.role, p.added_us, p.erased_us";
constexpr const char* session_columns = "s.id, s.secret, s.person, s.device, s.since_us, s.seen_us, s.ends_us, s.revoked_us";

Error book_error(const SQLite::Exception& exception, const std::string& path) {
  const Where where{path, 0, {}};
  switch (exception.getErrorCode()) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {"access.book_busy", where, {}, ErrorKind::cannot};
    case SQLITE_FULL:
      return {"access.book_full", where, {}, ErrorKind::cannot};
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return {"access.book_read_only", where, {}, ErrorKind::cannot};
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return {"access.book_damaged", where, {}, ErrorKind::cannot};
    default:
      return {"access.book_io", where, {{"detail", std::string(exception.what())}}, ErrorKind::cannot};
  }
}

Instant time_at(const SQLite::Column& column) { return Instant::from_unix_microseconds(column.getInt64()); }
std::optional<Instant> maybe_time_at(const SQLite::Column& column) {
  return column.isNull() ? std::nullopt : std::optional{time_at(column)};
}

Person person_at(SQLite::Statement& row, int first) {
  return {Id{bytes_of<16>(row.getColumn(first))}, text_of(row.getColumn(first + 1)), text_of(row.getColumn(first + 2)),
          time_at(row.getColumn(first + 3)), maybe_time_at(row.getColumn(first + 4))};
}

Session session_at(SQLite::Statement& row, int first) {
  return {Id{bytes_of<16>(row.getColumn(first))}, digest_of(row.getColumn(first + 1)),    Id{bytes_of<16>(row.getColumn(first + 2))},
          text_of(row.getColumn(first + 3)),      time_at(row.getColumn(first + 4)),      time_at(row.getColumn(first + 5)),
          time_at(row.getColumn(first + 6)),      maybe_time_at(row.getColumn(first + 7))};
}

int pragma(SQLite::Database& db, const char* name) { return db.execAndGet(std::string("PRAGMA ") + name).getInt(); }

Status set_up(SQLite::Database& db, const std::string& path) {
  // The rollback journal is removed with each commit, and what is deleted is overwritten: an erased name is in no file any more.
  db.exec("PRAGMA journal_mode = DELETE");
  db.exec("PRAGMA synchronous = FULL");
  db.exec("PRAGMA secure_delete = ON");
  db.exec("PRAGMA trusted_schema = OFF");
  SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
  const bool blank = pragma(db, "application_id") == 0 && db.execAndGet("SELECT count(*) FROM sqlite_schema").getInt() == 0;
  if (blank) {
    db.exec(schema);
    db.exec(particulars_schema);
    db.exec("PRAGMA application_id = " + std::to_string(book_id));
    db.exec("PRAGMA user_version = " + std::to_string(book_version));
    SQLite::Statement salt(db, "INSERT INTO book (salt) VALUES (?)");
    bind_bytes(salt, 1, fresh_salt());
    salt.exec();
  }
  if (pragma(db, "application_id") != book_id) return fail("access.not_a_book", {path, 0, {}});
  if (pragma(db, "user_version") > book_version) return fail("access.book_newer", {path, 0, {}});
  if (pragma(db, "user_version") < 2) {
    db.exec(particulars_schema);
    db.exec("PRAGMA user_version = " + std::to_string(book_version));
  }
  transaction.commit();
  return {};
}

}  // namespace

struct AccessBook::Inside {
  std::mutex mutex;
  std::string path;
  std::unique_ptr<SQLite::Database> db;

  template <class Work>
  auto guarded(const Work& work) -> decltype(work()) {
    const std::lock_guard lock(mutex);
    try {
      return work();
    } catch (const SQLite::Exception& e) {
      return fail(book_error(e, path));
    }
  }
  SQLite::Statement statement(const std::string& sql) { return {*db, sql}; }
  int run_on(const char* sql, const Id& id) {
    auto one = statement(sql);
    bind_bytes(one, 1, id.bytes);
    return one.exec();
  }
};

AccessBook::AccessBook(std::unique_ptr<Inside> inside) : inside_{std::move(inside)} {}
AccessBook::~AccessBook() = default;

Result<std::unique_ptr<AccessBook>> AccessBook::open(const std::string& path) {
  // Made here first, because SQLite would let everyone on the computer read it.
  if (const int made = ::open(path.c_str(), O_CREAT | O_EXCL | O_CLOEXEC | O_RDWR, 0600); made >= 0) ::close(made);
  auto inside = std::make_unique<Inside>();
  inside->path = path;
  const auto good = inside->guarded([&]() -> Status {
    inside->db = std::make_unique<SQLite::Database>(path, SQLite::OPEN_READWRITE | SQLite::OPEN_FULLMUTEX, wait_ms);
    return set_up(*inside->db, path);
  });
  if (!good) return fail(good.error());
  return std::unique_ptr<AccessBook>(new AccessBook(std::move(inside)));
}

Result<std::vector<Person>> AccessBook::people() {
  return inside_->guarded([&]() -> Result<std::vector<Person>> {
    auto rows = inside_->statement(std::string("SELECT ") + person_columns + " FROM people p ORDER BY place");
    std::vector<Person> found;
    while (rows.executeStep()) found.push_back(person_at(rows, 0));
    return found;
  });
}

Result<std::optional<Person>> AccessBook::person(const Id& id) {
  return inside_->guarded([&]() -> Result<std::optional<Person>> {
    auto rows = inside_->statement(std::string("SELECT ") + person_columns + " FROM people p WHERE id = ?");
    bind_bytes(rows, 1, id.bytes);
    if (!rows.executeStep()) return std::nullopt;
    return person_at(rows, 0);
  });
}

Status AccessBook::add_person(const Person& person) {
  return inside_->guarded([&]() -> Status {
    auto add = inside_->statement("INSERT OR IGNORE INTO people (id, name, role, added_us) VALUES (?, ?, ?, ?)");
    bind_bytes(add, 1, person.id.bytes);
    add.bind(2, person.name);
    add.bind(3, person.role);
    add.bind(4, person.added.unix_microseconds());
    if (add.exec() == 0) return fail("access.name_taken", {"", 0, "name"}, {{"name", person.name}}, ErrorKind::conflict);
    return {};
  });
}

Status AccessBook::change_person(const Person& person) {
  return inside_->guarded([&]() -> Status {
    SQLite::Transaction transaction(*inside_->db, SQLite::TransactionBehavior::IMMEDIATE);
    auto there = inside_->statement("SELECT 1 FROM people WHERE id = ? AND erased_us IS NULL");
    bind_bytes(there, 1, person.id.bytes);
    if (!there.executeStep()) return fail("access.no_such_person", {}, {{"person", person.id.text()}}, ErrorKind::not_found);
    there.reset();
    auto change = inside_->statement("UPDATE OR IGNORE people SET name = ?, role = ? WHERE id = ?");
    change.bind(1, person.name);
    change.bind(2, person.role);
    bind_bytes(change, 3, person.id.bytes);
    if (change.exec() == 0) return fail("access.name_taken", {"", 0, "name"}, {{"name", person.name}}, ErrorKind::conflict);
    transaction.commit();
    return {};
  });
}

Status AccessBook::erase_person(const Id& id, Instant at) {
  return inside_->guarded([&]() -> Status {
    SQLite::Transaction transaction(*inside_->db, SQLite::TransactionBehavior::IMMEDIATE);
    const std::string when = std::to_string(at.unix_microseconds());
    if (inside_->run_on(("UPDATE people SET name = '', erased_us = " + when + " WHERE id = ? AND erased_us IS NULL").c_str(), id) == 0)
      return fail("access.no_such_person", {}, {{"person", id.text()}}, ErrorKind::not_found);
    inside_->run_on(("UPDATE sessions SET device = '', revoked_us = coalesce(revoked_us, " + when + ") WHERE person = ?").c_str(), id);
    inside_->run_on("DELETE FROM pairings WHERE person = ?", id);
    inside_->run_on("DELETE FROM particulars WHERE person = ?", id);
    transaction.commit();
    return {};
  });
}

Result<std::map<Id, AccessBook::Particulars>> AccessBook::particulars() {
  return inside_->guarded([&]() -> Result<std::map<Id, Particulars>> {
    auto rows = inside_->statement("SELECT person, what, value FROM particulars");
    std::map<Id, Particulars> found;
    while (rows.executeStep()) found[Id{bytes_of<16>(rows.getColumn(0))}][text_of(rows.getColumn(1))] = text_of(rows.getColumn(2));
    return found;
  });
}

Status AccessBook::note_particulars(const Id& person, const Particulars& given) {
  return inside_->guarded([&]() -> Status {
    SQLite::Transaction transaction(*inside_->db, SQLite::TransactionBehavior::IMMEDIATE);
    auto there = inside_->statement("SELECT 1 FROM people WHERE id = ? AND erased_us IS NULL");
    bind_bytes(there, 1, person.bytes);
    if (!there.executeStep()) return fail("access.no_such_person", {}, {{"person", person.text()}}, ErrorKind::not_found);
    there.reset();
    for (const auto& [what, value] : given) {
      auto one = inside_->statement(value.empty() ? "DELETE FROM particulars WHERE person = ? AND what = ?"
                                                  : "INSERT OR REPLACE INTO particulars (person, what, value) VALUES (?, ?, ?)");
      bind_bytes(one, 1, person.bytes);
      one.bind(2, what);
      if (!value.empty()) one.bind(3, value);
      one.exec();
    }
    transaction.commit();
    return {};
  });
}

Result<Salt> AccessBook::salt() {
  return inside_->guarded([&]() -> Result<Salt> {
    auto row = inside_->statement("SELECT salt FROM book");
    if (!row.executeStep()) return fail("access.book_damaged", {inside_->path, 0, {}}, {}, ErrorKind::cannot);
    return bytes_of<16>(row.getColumn(0));
  });
}

Status AccessBook::put_pairing(const Pairing& pairing) {
  return inside_->guarded([&]() -> Status {
    auto put = inside_->statement("INSERT OR REPLACE INTO pairings (person, code, device, made_us, until_us) VALUES (?, ?, ?, ?, ?)");
    bind_bytes(put, 1, pairing.person.bytes);
    bind_bytes(put, 2, pairing.code.bytes);
    put.bind(3, pairing.device);
    put.bind(4, pairing.made.unix_microseconds());
    put.bind(5, pairing.until.unix_microseconds());
    put.exec();
    return {};
  });
}

Result<std::optional<SessionOf>> AccessBook::redeem(const Digest& code, Session fresh, Instant now) {
  return inside_->guarded([&]() -> Result<std::optional<SessionOf>> {
    SQLite::Transaction transaction(*inside_->db, SQLite::TransactionBehavior::IMMEDIATE);
    // A clock that went backwards doesn't lengthen a code's life: before it was made it doesn't hold either.
    auto found = inside_->statement(std::string("SELECT ") + person_columns +
                                    ", c.device FROM pairings c JOIN people p ON p.id = c.person "
                                    "WHERE c.code = ? AND c.made_us <= ? AND c.until_us > ? AND p.erased_us IS NULL");
    bind_bytes(found, 1, code.bytes);
    found.bind(2, now.unix_microseconds());
    found.bind(3, now.unix_microseconds());
    if (!found.executeStep()) return std::nullopt;
    const Person person = person_at(found, 0);
    if (auto named = text_of(found.getColumn(5)); !named.empty()) fresh.device = std::move(named);
    found.reset();
    inside_->run_on("DELETE FROM pairings WHERE person = ?", person.id);
    fresh.person = person.id;
    auto begin =
        inside_->statement("INSERT INTO sessions (id, secret, person, device, since_us, seen_us, ends_us) VALUES (?, ?, ?, ?, ?, ?, ?)");
    bind_bytes(begin, 1, fresh.id.bytes);
    bind_bytes(begin, 2, fresh.secret.bytes);
    bind_bytes(begin, 3, fresh.person.bytes);
    begin.bind(4, fresh.device);
    begin.bind(5, fresh.since.unix_microseconds());
    begin.bind(6, fresh.seen.unix_microseconds());
    begin.bind(7, fresh.ends.unix_microseconds());
    begin.exec();
    transaction.commit();
    return SessionOf{std::move(fresh), person};
  });
}

Result<std::optional<SessionOf>> AccessBook::session_by(const Digest& secret) {
  return inside_->guarded([&]() -> Result<std::optional<SessionOf>> {
    auto row = inside_->statement(std::string("SELECT ") + session_columns + ", " + person_columns +
                                  " FROM sessions s JOIN people p ON p.id = s.person WHERE s.secret = ?");
    bind_bytes(row, 1, secret.bytes);
    if (!row.executeStep()) return std::nullopt;
    return SessionOf{session_at(row, 0), person_at(row, 8)};
  });
}

Result<std::vector<Session>> AccessBook::sessions() {
  return inside_->guarded([&]() -> Result<std::vector<Session>> {
    auto rows = inside_->statement(std::string("SELECT ") + session_columns + " FROM sessions s ORDER BY since_us DESC, id");
    std::vector<Session> found;
    while (rows.executeStep()) found.push_back(session_at(rows, 0));
    return found;
  });
}

Status AccessBook::touch(const Id& session, Instant seen) {
  return inside_->guarded([&]() -> Status {
    inside_->run_on(("UPDATE sessions SET seen_us = " + std::to_string(seen.unix_microseconds()) + " WHERE id = ?").c_str(), session);
    return {};
  });
}

Status AccessBook::revoke(const Id& session, Instant at) {
  return inside_->guarded([&]() -> Status {
    const std::string when = std::to_string(at.unix_microseconds());
    if (inside_->run_on(("UPDATE sessions SET revoked_us = coalesce(revoked_us, " + when + ") WHERE id = ?").c_str(), session) == 0)
      return fail("access.no_such_session", {}, {{"session", session.text()}}, ErrorKind::not_found);
    return {};
  });
}

}  // namespace leafturn::store
