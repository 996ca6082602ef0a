// Keeping a garden's sums beside its chain, writing many things down at once, bringing ledgers back and in, the doctor, one server.

#include <SQLiteCpp/SQLiteCpp.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <thread>

#include "app/doctor.hpp"
#include "app/import_garden.hpp"
#include "app/ledger_tools.hpp"
#include "app/record.hpp"
#include "app/restore.hpp"
#include "app/serving_lock.hpp"
#include "io/chronicle_bytes.hpp"
#include "io/event_json.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;

class LedgerCare : public testing::Test {
 protected:
  void SetUp() override {
    top_ = test::fresh_folder(std::string("ledger-care-") + testing::UnitTest::GetInstance()->current_test_info()->name());
    folder_ = top_ + "/g";
    ASSERT_TRUE(make_demo(folder_, day_));
  }
  /// Counts straight into the chain, as an import does.
  void many_counts(int n) {
    const auto garden = OpenGarden::open(folder_).value();
    std::vector<store::Envelope> batch;
    for (int i = 0; i < n; ++i) {
      std::array<std::uint8_t, 10> tail{};
      for (std::size_t b = 0; b < 4; ++b) tail[b + 4] = static_cast<std::uint8_t>(i >> (8 * b));
      const garden::Event event{{Id::version7(1'780'000'000'000, tail), "phone", static_cast<std::uint64_t>(i) + 1, day_, "lead"},
                                garden::CountTaken{"1", "PIERRA", "egg", 10, i % 7}};
      batch.push_back({event.heading.id, "phone", event.heading.writer_seq, day_, io::encode_event(event)});
    }
    ASSERT_TRUE(garden->ledger().append(batch, day_));
  }
  std::string ledger(const std::string& folder) const { return folder + "/ledger.db"; }
  std::string snapshot() const { return ledger(folder_) + ".snapshot-" + io::chronicle_kind; }
  std::size_t counts() { return OpenGarden::open(folder_).value()->garden_at(day_).value().counts.size(); }
  std::string lines(const std::string& folder) {
    std::string all;
    EXPECT_TRUE(export_ledger(folder, [&](std::string_view line) { all += std::string(line) + "\n"; }));
    return all;
  }
  Digest head(const std::string& folder) { return verify_ledger(folder, {}).value().head; }
  static const Finding& finding(const Checkup& checkup, const std::string& check) {
    for (const Finding& f : checkup.findings)
      if (f.check == check) return f;
    throw std::runtime_error("no check " + check);
  }

  Instant day_ = Instant::parse("2026-06-11T23:00Z").value();
  std::string top_, folder_;
};

TEST_F(LedgerCare, ManyEventsAreOpenedFromASnapshotAndWhatCameAfter) {
  const std::size_t before = counts();
  EXPECT_FALSE(fs::exists(snapshot())) << "of few events none is worth while";
  many_counts(6000);
  EXPECT_EQ(counts(), before + 6000);
  ASSERT_TRUE(fs::exists(snapshot()));
  const auto bytes = test::read_file(snapshot());
  const auto garden = OpenGarden::open(folder_).value();
  const auto told = record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, 3}, "test", "lead", day_, day_);
  ASSERT_TRUE(told) << told.error().code;
  EXPECT_EQ(counts(), before + 6001);
  EXPECT_TRUE(verify_ledger(folder_, {}).value().intact);

  // A damaged one is not used, whatever is wrong with it.
  for (const std::string& spoilt : {bytes.substr(0, bytes.size() / 2), std::string(), bytes + "x", std::string(bytes.size(), 'x')}) {
    std::ofstream(snapshot(), std::ios::binary | std::ios::trunc) << spoilt;
    EXPECT_EQ(counts(), before + 6001);
  }
}

TEST_F(LedgerCare, AForgedSnapshotIsFoundByVerify) {
  many_counts(6000);
  counts();
  {
    const auto garden = OpenGarden::open(folder_).value();
    auto parts = garden->chronicle().value().parts();
    parts.all.counts.erase(3);
    const auto forged = garden::Chronicle::restore(parts);
    ASSERT_TRUE(garden->ledger().snapshot_put(io::chronicle_kind, {forged.last_seq(), io::chronicle_bytes(forged)}));
  }
  const auto found = verify_ledger(folder_, {}).value();
  EXPECT_FALSE(found.intact);
  EXPECT_EQ(found.damage->code, "ledger.snapshot_differs");
  fs::remove(snapshot());
  EXPECT_TRUE(verify_ledger(folder_, {}).value().intact);
}

TEST_F(LedgerCare, ManyAtOnceEachGetTheirReceiptAndAreJudgedOneAfterTheOther) {
  const auto garden = OpenGarden::open(folder_).value();
  const auto before = garden->last_seq().value();
  constexpr int writers = 16, each = 12;
  std::vector<std::thread> threads;
  std::atomic<int> sown{0};
  for (int w = 0; w < writers; ++w)
    threads.emplace_back([&, w] {
      for (int n = 0; n < each; ++n) {
        const auto count =
            record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, n}, "writer " + std::to_string(w), "lead", day_, day_);
        EXPECT_TRUE(count) << count.error().code;
        // All of them sow under the same names: of each name exactly one gets in.
        const auto planting = record_saying(*garden, garden::PlantingSown{"okra-" + std::to_string(n), "2", "ABMES", {}, {}, {}, {}},
                                            "writer " + std::to_string(w), "lead", day_, day_);
        if (planting)
          ++sown;
        else
          EXPECT_EQ(planting.error().code, "garden.planting_exists");
      }
    });
  for (auto& thread : threads) thread.join();
  EXPECT_EQ(sown, each);
  EXPECT_EQ(garden->last_seq().value(), before + writers * each + each);
  EXPECT_TRUE(verify_ledger(folder_, {}).value().intact);
  EXPECT_EQ(OpenGarden::open(folder_).value()->garden_at(day_).value().counts.size(), garden->garden_at(day_).value().counts.size());
}

TEST_F(LedgerCare, ABackupIsTriedAndBroughtBack) {
  const std::string backup = top_ + "/copy.db";
  ASSERT_TRUE(backup_ledger(folder_, backup));
  const auto bytes = test::read_file(backup);
  const auto tried = restore_ledger(backup, {}, head(folder_)).value();
  EXPECT_TRUE(tried.sound());
  EXPECT_EQ(tried.garden.beds.size(), 12U);
  EXPECT_EQ(tried.last, day_);
  EXPECT_TRUE(tried.folder.empty());
  const auto back = restore_ledger(backup, top_ + "/back", {}).value();
  EXPECT_EQ(back.folder, top_ + "/back");
  EXPECT_EQ(head(top_ + "/back"), head(folder_));
  EXPECT_EQ(test::read_file(backup), bytes) << "the backup itself is not touched";
  EXPECT_EQ(restore_ledger(backup, folder_, {}).error().code, "app.garden_exists");
  EXPECT_EQ(restore_ledger(top_ + "/none.db", {}, {}).error().code, "ledger.not_found");
  const auto without = restore_ledger(backup, top_ + "/not", Digest{{1}}).value();
  EXPECT_TRUE(without.sound());
  EXPECT_FALSE(without.yes()) << "a head that isn't in it";
  EXPECT_FALSE(fs::exists(top_ + "/not"));
}

TEST_F(LedgerCare, ABackupThatIsNotSoundIsNotRestored) {
  const std::string backup = top_ + "/copy.db";
  ASSERT_TRUE(backup_ledger(folder_, backup));
  SQLite::Database(backup, SQLite::OPEN_READWRITE).exec("UPDATE events SET received_us = received_us + 1 WHERE seq = 7");
  const auto tried = restore_ledger(backup, top_ + "/back", {}).value();
  EXPECT_FALSE(tried.sound());
  EXPECT_EQ(tried.verification.damage->code, "ledger.link_broken");
  EXPECT_FALSE(fs::exists(top_ + "/back"));
  EXPECT_FALSE(fs::exists(top_ + "/back.restoring"));

  const std::string textless = top_ + "/textless.db";
  ASSERT_TRUE(backup_ledger(folder_, textless));
  SQLite::Database(textless, SQLite::OPEN_READWRITE).exec("DELETE FROM blobs WHERE rowid = 1");
  const auto without = restore_ledger(textless, {}, {}).value();
  EXPECT_TRUE(without.verification.intact);
  EXPECT_EQ(without.missing.size(), 1U);
  EXPECT_FALSE(without.sound());
}

TEST_F(LedgerCare, AnExportIntoAnEmptyFolderIsThatLedgerAgain) {
  const auto imported = import_events(top_ + "/again", lines(folder_), day_ + Duration::hours(5)).value();
  EXPECT_TRUE(imported.same_chain);
  EXPECT_EQ(head(top_ + "/again"), head(folder_));
  // Later events of the original follow on, and nothing is told twice.
  {
    const auto garden = OpenGarden::open(folder_).value();
    ASSERT_TRUE(record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, 3}, "test", "lead", day_, day_));
  }
  const auto more = import_events(top_ + "/again", lines(folder_), day_).value();
  EXPECT_EQ(more.appended, 1U);
  EXPECT_EQ(head(top_ + "/again"), head(folder_));
}

// The drill of docs/operations.md: the ledger is damaged after the backup was made, and its export still tells what came later.
TEST_F(LedgerCare, WhatCameAfterTheBackupIsBroughtFromTheDamagedLedgerWithItsPlaces) {
  const std::string backup = top_ + "/copy.db";
  ASSERT_TRUE(backup_ledger(folder_, backup));
  {
    const auto garden = OpenGarden::open(folder_).value();
    for (int n = 1; n <= 3; ++n)
      ASSERT_TRUE(record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, n}, "test", "lead", day_, day_));
  }
  const Digest printed = head(folder_);
  SQLite::Database(ledger(folder_), SQLite::OPEN_READWRITE)
      .exec("UPDATE events SET bytes = CAST(replace(CAST(bytes AS TEXT), '\"count\":', '\"count\":1') AS BLOB) WHERE seq = 40");
  ASSERT_FALSE(verify_ledger(folder_, {}).value().intact);
  ASSERT_TRUE(restore_ledger(backup, top_ + "/back", {}));
  const auto imported = import_events(top_ + "/back", lines(folder_), day_).value();
  EXPECT_EQ(imported.appended, 3U);
  EXPECT_EQ(imported.changed, 1U) << "the backup's own holds";
  EXPECT_TRUE(imported.same_chain);
  EXPECT_TRUE(verify_ledger(top_ + "/back", printed).value().intact);
  EXPECT_EQ(head(top_ + "/back"), printed);
}

TEST_F(LedgerCare, AChangedExportDoesNotPassForTheLedger) {
  std::string changed = lines(folder_);
  const auto place = changed.find("\\\"count\\\":");
  ASSERT_NE(place, std::string::npos);
  changed[place + 10] = changed[place + 10] == '9' ? '8' : '9';
  EXPECT_EQ(import_events(top_ + "/again", changed, day_).error().code, "ledger.chain_broken");
}

TEST_F(LedgerCare, AnotherGardensLedgerIsKeptBesideAndCountsForNothing) {
  const std::string mine = top_ + "/mine";
  ASSERT_TRUE(make_demo(mine, day_ + Duration::hours(1)));
  const Digest own = head(mine);
  const std::string theirs = lines(folder_);
  ASSERT_TRUE(import_events(mine, theirs, day_, "by the mill"));
  EXPECT_EQ(head(mine), own);
  const auto guests = guests_of(mine).value();
  ASSERT_EQ(guests.size(), 1U);
  EXPECT_EQ(guests[0].name, "by the mill");
  EXPECT_EQ(guests[0].head, head(folder_)) << "heads and receipts printed there hold";
  std::string back;
  ASSERT_TRUE(export_ledger(mine, [&](std::string_view line) { back += std::string(line) + "\n"; }, "by the mill"));
  EXPECT_EQ(back, theirs);
  EXPECT_EQ(export_ledger(mine, [](std::string_view) {}, "nobody").error().code, "ledger.no_such_guest");

  // Sent again with more: the rest is added. One that tells another story is refused whole.
  {
    const auto garden = OpenGarden::open(folder_).value();
    ASSERT_TRUE(record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, 3}, "test", "lead", day_, day_));
  }
  ASSERT_TRUE(import_events(mine, lines(folder_), day_, "by the mill"));
  EXPECT_EQ(guests_of(mine).value()[0].head, head(folder_));
  SQLite::Database(ledger(mine), SQLite::OPEN_READWRITE).exec("UPDATE guest_events SET bytes = x'41' WHERE seq = 3");
  const auto found = verify_ledger(mine, {}).value();
  EXPECT_FALSE(found.intact);
  EXPECT_EQ(found.damage->code, "ledger.guest_damaged");
}

TEST_F(LedgerCare, TheDoctorFindsWhatIsWrong) {
  const auto state = [&](const std::string& check, Instant now, std::optional<std::string> backups = {}) {
    return finding(examine(folder_, backups, now).value(), check).state;
  };
  using State = Finding::State;
  EXPECT_EQ(state("ledger", day_), State::good);
  EXPECT_EQ(state("folder", day_), State::good);
  EXPECT_EQ(state("quarantine", day_), State::good);
  EXPECT_EQ(state("clock", day_ - Duration::hours(2)), State::bad) << "before the last event was received";
  EXPECT_EQ(state("clock", *Instant::parse("1970-01-01T01:00Z")), State::bad);
  EXPECT_EQ(state("backups", day_), State::bad) << "none";
  const auto name = backup_name(folder_, day_).value();
  EXPECT_EQ(name, folder_ + "/backups/ledger-20260611T230000Z.db");
  ASSERT_TRUE(backup_ledger(folder_, name));
  const Instant now = *Instant::parse("2200-01-01T00:00Z");
  EXPECT_EQ(state("backups", day_), State::look) << "on the same disk";
  EXPECT_EQ(state("backups", now), State::look) << "old, but nothing came since";
  {
    const auto garden = OpenGarden::open(folder_).value();
    ASSERT_TRUE(record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, 3}, "test", "lead", day_, day_));
  }
  EXPECT_EQ(state("backups", now), State::bad) << "old, and something came since";
  const auto other = top_ + "/other";
  ASSERT_TRUE(make_demo(other + "/g", day_ + Duration::hours(9)));
  ASSERT_TRUE(backup_ledger(other + "/g", other + "/copy.db"));
  EXPECT_EQ(state("backups", day_, other), State::bad) << "another garden's";

  std::ofstream(ledger(folder_) + ".not-kept");
  EXPECT_EQ(state("ledger", day_), State::look) << "a disk failed, and the ledger is whole";
  EXPECT_FALSE(fs::exists(ledger(folder_) + ".not-kept")) << "verified, so it may be written to again";
  SQLite::Database(ledger(folder_), SQLite::OPEN_READWRITE).exec("UPDATE events SET bytes = x'41' WHERE seq = 3");
  EXPECT_EQ(state("ledger", day_), State::bad);
  std::ofstream(ledger(folder_) + ".not-kept");
  EXPECT_EQ(state("ledger", day_), State::bad);
  EXPECT_EQ(OpenGarden::open(folder_).error().code, "ledger.damaged") << "a disk failed, and something is gone";
  EXPECT_EQ(examine(top_ + "/nowhere", {}, day_).error().code, "app.no_garden");
}

TEST_F(LedgerCare, AClockThatWentBackIsToldAndLosesNothing) {
  const auto garden = OpenGarden::open(folder_).value();
  const auto say = [&](Instant now) {
    return record_saying(*garden, garden::CountTaken{"1", "PIERRA", "egg", 10, 3}, "test", "lead", day_ - Duration::hours(48), now);
  };
  ASSERT_TRUE(say(day_));
  ASSERT_TRUE(say(day_ - Duration::hours(30)));
  ASSERT_TRUE(say(day_));
  const auto found = garden->ledger().verify().value();
  EXPECT_TRUE(found.intact);
  ASSERT_EQ(found.notes.size(), 1U);
  EXPECT_EQ(found.notes[0].code, "ledger.clock_back");
  EXPECT_EQ(finding(examine(folder_, {}, day_).value(), "ledger").state, Finding::State::look);
}

TEST_F(LedgerCare, OneServerAtATime) {
  {
    const auto first = ServingLock::take(folder_);
    ASSERT_TRUE(first);
    const auto second = ServingLock::take(folder_);
    ASSERT_FALSE(second);
    EXPECT_EQ(second.error().code, "server.garden_served");
    EXPECT_EQ(second.error().kind, ErrorKind::cannot);
    EXPECT_TRUE(OpenGarden::open(folder_)) << "commands beside it go on";
  }
  EXPECT_TRUE(ServingLock::take(folder_));
}

}  // namespace
}  // namespace leafturn::app
