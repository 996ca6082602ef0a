// The ledger's file: older, newer, foreign, busy, cut.

#include <SQLiteCpp/SQLiteCpp.h>

#include <chrono>
#include <filesystem>
#include <fstream>

#include "core/garden/garden.hpp"
#include "io/event_json.hpp"
#include "tests/store/store_support.hpp"

namespace leafturn::store::test {
namespace {

namespace fs = std::filesystem;

// Printed by tests/store/old/make_v1.py, which computes the chain with Python's hashlib.
constexpr const char* v1_head = "a78208de5a10004e9d7cc1034d67eddc057ef54dd0410aa195b3e89927ae2f07";

class LedgerFile : public testing::Test {
 protected:
  LedgerFile() : folder_{fresh_folder(std::string("store-file-") + testing::UnitTest::GetInstance()->current_test_info()->name())} {}
  std::string path() const { return folder_ + "/ledger.db"; }
  std::string old_copy() const {
    fs::copy_file(source_path("tests/store/old/ledger-v1.db"), path());
    return path();
  }
  std::string refusal(const OpenOptions& options = {}) const {
    const auto opened = open_sqlite(path(), options);
    return opened ? "opened" : opened.error().code;
  }
  std::string folder_;
};

OpenOptions making() {
  OpenOptions options;
  options.create = true;
  return options;
}

/// Tables, columns and indexes as SQLite tells them.
std::string schema_of(const std::string& path) {
  SQLite::Database db(path, SQLite::OPEN_READONLY);
  std::string out = std::to_string(db.execAndGet("PRAGMA user_version").getInt()) + " " +
                    std::to_string(db.execAndGet("PRAGMA application_id").getInt()) + "\n";
  SQLite::Statement rows(db, "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema ORDER BY type, name");
  while (rows.executeStep())
    for (int i = 0; i < 4; ++i) out += rows.getColumn(i).getString() + (i < 3 ? " " : "\n");
  return out;
}

TEST_F(LedgerFile, anOldFileIsCopiedAsideAndMigratedWithTheSameHead) {
  const std::string old_bytes = read_file(old_copy());
  const auto ledger = must(open_sqlite(path()));
  const Verification found = must(ledger->verify(Digest::parse(v1_head)));
  EXPECT_TRUE(found.intact) << (found.damage ? found.damage->code : "");
  EXPECT_EQ(found.events, 6U);
  EXPECT_EQ(found.head.hex(), v1_head);
  EXPECT_TRUE(must(ledger->quarantine()).empty());
  EXPECT_FALSE(must(ledger->snapshot_get("garden"))) << "made again when next wanted";
  EXPECT_EQ(must(ledger->blob_get(sha256("[card]\nproduct = \"Demo Oil One\"\n"))).size(), 32U);
  append_some(*ledger, 1, 2);
  EXPECT_TRUE(must(ledger->verify(Digest::parse(v1_head))).intact);

  const std::string aside = path() + ".before-v3";
  ASSERT_TRUE(fs::exists(aside));
  SQLite::Database copy(aside, SQLite::OPEN_READONLY);
  EXPECT_EQ(copy.execAndGet("PRAGMA user_version").getInt(), 1);
  EXPECT_EQ(copy.execAndGet("SELECT count(*) FROM events").getInt(), 6);
  EXPECT_EQ(copy.execAndGet("SELECT count(*) FROM snapshots").getInt(), 1);
}

TEST_F(LedgerFile, theCopyAsideNeverReplacesAnother) {
  old_copy();
  std::ofstream(path() + ".before-v3") << "someone's file";
  ASSERT_EQ(refusal(), "opened");
  EXPECT_EQ(read_file(path() + ".before-v3"), "someone's file");
  EXPECT_TRUE(fs::exists(path() + ".before-v3-2"));
}

TEST_F(LedgerFile, theEventsOfAnOldFileAreStillUnderstood) {
  old_copy();
  const auto ledger = must(open_sqlite(path()));
  std::vector<garden::Recorded> recorded;
  for (const Entry& e : must(ledger->read(1))) {
    recorded.push_back({e.seq, e.received, must(io::decode_event(e.envelope.bytes))});
    EXPECT_EQ(recorded.back().event.heading.id, e.envelope.id);
  }
  const garden::Garden g = garden::fold(recorded, at_hour(0));
  EXPECT_EQ(g.described->name, "Invented garden");
  EXPECT_EQ(g.beds.size(), 1U);
  ASSERT_EQ(g.counts.size(), 1U);
  EXPECT_EQ(g.counts[0].what.count, 3);
  EXPECT_EQ(g.standing("1", at_hour(0), *Date::parse("2026-05-20")).size(), 1U);
}

TEST_F(LedgerFile, aMigratedFileHasTheSchemaOfANewOne) {
  old_copy();
  must(open_sqlite(path())).reset();
  const std::string fresh = folder_ + "/fresh.db";
  must(open_sqlite(fresh, making())).reset();
  EXPECT_EQ(schema_of(path()), schema_of(fresh));
}

TEST_F(LedgerFile, aNewerFileIsRefusedAndNotTouched) {
  must(open_sqlite(path(), making())).reset();
  {
    SQLite::Database db(path(), SQLite::OPEN_READWRITE);
    db.exec("PRAGMA user_version = 4");
  }
  const std::string before = read_file(path());
  const auto time = fs::last_write_time(path());
  for (const auto& options : {OpenOptions{}, making()}) EXPECT_EQ(refusal(options), "ledger.newer_file");
  EXPECT_EQ(read_file(path()), before);
  EXPECT_EQ(fs::last_write_time(path()), time);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder_), {}), 1) << "nothing was made beside it";
}

TEST_F(LedgerFile, aForeignFileIsRefusedAndNotTouched) {
  for (const std::string& bytes : {std::string("time,bed,count\n"), std::string(), std::string("SQLite format 3\0 cut", 20)}) {
    std::ofstream(path(), std::ios::binary | std::ios::trunc) << bytes;
    EXPECT_EQ(refusal(), "ledger.not_a_ledger") << bytes;
    EXPECT_EQ(read_file(path()), bytes);
  }
  fs::remove(path());
  SQLite::Database(path(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE).exec("CREATE TABLE t (a); INSERT INTO t VALUES (1)");
  const std::string before = read_file(path());
  for (const auto& options : {OpenOptions{}, making()}) EXPECT_EQ(refusal(options), "ledger.not_a_ledger");
  EXPECT_EQ(read_file(path()), before);
}

TEST_F(LedgerFile, noFileIsNotFoundAndNothingIsMade) {
  EXPECT_EQ(refusal(), "ledger.not_found");
  EXPECT_TRUE(fs::is_empty(folder_));
  EXPECT_EQ(open_sqlite(folder_ + "/no/such/folder/ledger.db", making()).error().code, "ledger.cannot_open");
  EXPECT_EQ(open_sqlite(folder_, making()).error().kind, ErrorKind::cannot);
}

TEST_F(LedgerFile, aCutFileIsAnErrorOrFoundDamaged) {
  {
    const auto ledger = must(open_sqlite(path(), making()));
    for (std::uint8_t n = 1; n <= 40; ++n) {
      const Envelope one = envelope(n, std::string(2000, 'x'));
      ASSERT_TRUE(ledger->append({&one, 1}, at_hour(n)));
    }
  }
  const std::string whole = read_file(path());
  for (const std::size_t keep : {whole.size() / 2, std::size_t{4096}, std::size_t{200}}) {
    std::ofstream(path(), std::ios::binary | std::ios::trunc) << whole.substr(0, keep);
    const auto opened = open_sqlite(path());
    if (!opened) {
      EXPECT_TRUE(opened.error().code == "ledger.damaged" || opened.error().code == "ledger.not_a_ledger") << opened.error().code;
      continue;
    }
    EXPECT_FALSE(must((*opened)->verify()).intact) << keep;
  }
}

TEST_F(LedgerFile, anotherWriterIsWaitedForOnlySoLong) {
  OpenOptions options = making();
  options.busy_wait = Duration{20'000};
  const auto ledger = must(open_sqlite(path(), options));
  SQLite::Database other(path(), SQLite::OPEN_READWRITE);
  other.exec("BEGIN IMMEDIATE");
  const Envelope one = envelope(1);
  const auto refused = ledger->append({&one, 1}, at_hour(1));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "ledger.busy");
  EXPECT_EQ(refused.error().kind, ErrorKind::cannot);
  EXPECT_EQ(must(ledger->last_seq()), 0U) << "reading goes on";
  other.exec("COMMIT");
  EXPECT_TRUE(ledger->append({&one, 1}, at_hour(1)));
}

TEST_F(LedgerFile, twoLedgersOnOneFileShareOneChain) {
  const auto a = must(open_sqlite(path(), making()));
  const auto b = must(open_sqlite(path()));
  append_some(*a, 1, 1);
  append_some(*b, 2, 2);
  append_some(*a, 3, 3);
  EXPECT_EQ(must(b->last_seq()), 3U);
  EXPECT_TRUE(must(b->verify()).intact);
}

TEST_F(LedgerFile, aChainCutAtItsEndIsFoundByItsPrintedHead) {
  const auto ledger = must(open_sqlite(path(), making()));
  append_some(*ledger, 1, 5);
  const Digest printed = must(ledger->verify()).head;
  {
    SQLite::Database db(path(), SQLite::OPEN_READWRITE);
    db.exec("DELETE FROM events WHERE seq > 3");
  }
  EXPECT_TRUE(must(ledger->verify()).intact) << "what is left is a chain by itself";
  const Verification found = must(ledger->verify(printed));
  EXPECT_FALSE(found.intact);
  EXPECT_EQ(found.damage->code, "ledger.head_not_in_chain");
}

TEST_F(LedgerFile, aChainRebuiltFromTheMiddleIsFoundByItsPrintedHead) {
  std::vector<Entry> told;
  Digest printed;
  {
    const auto ledger = must(open_sqlite(path(), making()));
    append_some(*ledger, 1, 5);
    printed = must(ledger->verify()).head;
    told = must(ledger->read(1));
  }
  const auto forged = must(open_sqlite(folder_ + "/forged.db", making()));
  told[2].envelope.bytes = "{\"note\":\"nothing happened\"}";
  for (const Entry& e : told) ASSERT_TRUE(forged->append({&e.envelope, 1}, e.received));
  EXPECT_TRUE(must(forged->verify()).intact);
  EXPECT_FALSE(must(forged->verify(printed)).intact);
}

TEST_F(LedgerFile, readersDoNotWaitForTheWriter) {
  const auto ledger = must(open_sqlite(path(), making()));
  append_some(*ledger, 1, 3);
  SQLite::Database writer(path(), SQLite::OPEN_READWRITE);
  writer.exec("BEGIN IMMEDIATE");
  writer.exec("DELETE FROM events WHERE seq = 3");
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(must(ledger->read(1)).size(), 3U);
  EXPECT_TRUE(must(ledger->verify()).intact);
  EXPECT_TRUE(ledger->backup(folder_ + "/copy.db"));
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(4)) << "an append would wait five";
  writer.exec("ROLLBACK");
}

TEST_F(LedgerFile, aBackupIsReadWhereNothingMayBeWritten) {
  append_some(*must(open_sqlite(path(), making())), 1, 3);
  const std::string copy = folder_ + "/locked/copy.db";
  fs::create_directory(folder_ + "/locked");
  ASSERT_TRUE(must(open_sqlite(path()))->backup(copy));
  fs::permissions(copy, fs::perms::owner_read);
  fs::permissions(folder_ + "/locked", fs::perms::owner_read | fs::perms::owner_exec);
  EXPECT_EQ(must(tip_of(copy)).seq, 3U);
  EXPECT_TRUE(restore_sqlite(copy, folder_ + "/back.db"));
  EXPECT_EQ(restore_sqlite(copy, folder_ + "/back.db").error().code, "ledger.backup_exists");
  EXPECT_EQ(std::distance(fs::directory_iterator(folder_ + "/locked"), {}), 1) << "nothing was made beside it";
  fs::permissions(folder_ + "/locked", fs::perms::owner_all);
}

TEST_F(LedgerFile, afterADiskThatFailedTheChainIsVerifiedBeforeAnythingIsWritten) {
  append_some(*must(open_sqlite(path(), making())), 1, 3);
  const std::string marker = path() + ".not-kept";
  std::ofstream{marker};
  EXPECT_TRUE(must(open_sqlite(path()))->writable());
  EXPECT_FALSE(fs::exists(marker));
  SQLite::Database(path(), SQLite::OPEN_READWRITE).exec("UPDATE events SET bytes = x'41' WHERE seq = 2");
  EXPECT_EQ(refusal(), "opened") << "opening alone doesn't read the chain";
  std::ofstream{marker};
  EXPECT_EQ(refusal(), "ledger.damaged");
  EXPECT_TRUE(fs::exists(marker));
}

TEST_F(LedgerFile, aSnapshotOfAnotherChainIsNotUsed) {
  const auto ledger = must(open_sqlite(path(), making()));
  append_some(*ledger, 1, 3);
  ASSERT_TRUE(ledger->snapshot_put("garden", {3, "state"}));
  ASSERT_TRUE(must(ledger->snapshot_get("garden")));
  {
    SQLite::Database db(path(), SQLite::OPEN_READWRITE);
    db.exec("DELETE FROM events WHERE seq = 3");
  }
  EXPECT_FALSE(must(ledger->snapshot_get("garden"))) << "the chain is shorter";
  const Envelope other = envelope(9);
  ASSERT_TRUE(ledger->append({&other, 1}, at_hour(9)));
  EXPECT_FALSE(must(ledger->snapshot_get("garden"))) << "the chain is another";
}

TEST_F(LedgerFile, aChangedBlobIsRefusedAndFoundByVerify) {
  const auto ledger = must(open_sqlite(path(), making()));
  const Digest name = must(ledger->blob_put("rate = 1 floz/gal"));
  {
    SQLite::Database db(path(), SQLite::OPEN_READWRITE);
    db.exec("UPDATE blobs SET bytes = CAST('rate = 9 floz/gal' AS BLOB)");
  }
  EXPECT_EQ(ledger->blob_get(name).error().code, "ledger.blob_changed");
  EXPECT_EQ(must(ledger->verify()).damage->code, "ledger.blob_changed");
}

TEST_F(LedgerFile, aPathWithOddCharactersIsJustAPath) {
  const std::string odd = folder_ + "/jardín #1? 100% file:x.db";
  append_some(*must(open_sqlite(odd, making())), 1, 1);
  EXPECT_EQ(must(must(open_sqlite(odd))->last_seq()), 1U);
}

}  // namespace
}  // namespace leafturn::store::test
