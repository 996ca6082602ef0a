// What was acknowledged is there, whatever happened to the writer; what was changed is found.

#include <cstdlib>

#include "tests/store/faults/power_cut_vfs.hpp"
#include "tests/store/faults/runs.hpp"
#include "tests/store/store_support.hpp"

namespace leafturn::store::test {
namespace {

std::string told(const std::vector<std::string>& notes) {
  std::string all;
  for (const auto& note : notes) all += note + "\n";
  return all;
}

TEST(Faults, aKilledWriterLosesNothingAcknowledged) {
  const auto outcome = faults::kill_writers(120, 20260531, fresh_folder("store-kills"));
  EXPECT_EQ(outcome.stops, 120);
  EXPECT_GT(outcome.acknowledged, 120U);  // how many depends on the machine: more than one a kill
  EXPECT_EQ(outcome.lost, 0U) << told(outcome.notes);
  EXPECT_EQ(outcome.damaged, 0) << told(outcome.notes);
  RecordProperty("acknowledged", static_cast<int>(outcome.acknowledged));
}

TEST(Faults, aPowerCutLosesNothingAcknowledged) {
  const auto outcome = faults::cut_power(300, 20260531, true);
  EXPECT_EQ(outcome.stops, 300);
  EXPECT_GT(outcome.acknowledged, 1000U);
  EXPECT_EQ(outcome.lost, 0U) << told(outcome.notes);
  EXPECT_EQ(outcome.damaged, 0) << told(outcome.notes);
}

// After a failed sync the system may take for kept what the disk never got: nothing more is acknowledged until the ledger was opened again,
// and what was acknowledged before and after is there when the power then goes.
TEST(Faults, aFailedSyncEndsAcknowledgingAndLosesNothing) {
  const auto found = faults::fail_syncs(200, 20260531);
  EXPECT_EQ(found.outcome.stops, 200);
  EXPECT_GT(found.outcome.acknowledged, 1000U);
  EXPECT_EQ(found.unasked, 0);
  EXPECT_EQ(found.outcome.lost, 0U) << told(found.outcome.notes);
  EXPECT_EQ(found.outcome.damaged, 0) << told(found.outcome.notes);
  EXPECT_LT(found.unseen, 100) << "most of them fell on an append";
}

// The harness can fail: the same cuts without syncing do lose events.
TEST(Faults, withoutSyncingPowerCutsDoLoseEvents) {
  const auto outcome = faults::cut_power(100, 20260531, false);
  EXPECT_GT(outcome.acknowledged, 1000U);
  EXPECT_GT(outcome.lost, 0U);
}

TEST(Faults, everyChangedByteOfAPastEventIsFound) {
  const auto result = faults::tamper(fresh_folder("store-tamper"));
  EXPECT_GT(result.changes, 150);
  EXPECT_EQ(result.found, result.changes) << told(result.missed);
}

class OnABadDisk : public testing::Test {
 protected:
  OnABadDisk() : disk_{7} {
    options_.create = true;
    options_.vfs = disk_.vfs();
    ledger_ = must(open_sqlite("/ledger.db", options_));
    append_some(*ledger_, 1, 3);
  }
  Result<std::vector<Receipt>> append(std::uint8_t n) {
    const Envelope one = envelope(n, std::string(20'000, 'x'));
    return ledger_->append({&one, 1}, at_hour(n));
  }
  faults::PowerCutDisk disk_;
  OpenOptions options_;
  std::unique_ptr<Ledger> ledger_;
};

// At every write there is: of an append, of a checkpoint, of making a ledger, of bringing one in.
TEST_F(OnABadDisk, aFullDiskRefusesAtEveryWriteAndKeepsWhatWasThere) {
  const Digest head = must(ledger_->verify()).head;
  std::uint64_t writes = 0;
  for (bool refused = true; refused;) {
    disk_.full_after(++writes);
    const auto receipts = append(4);
    refused = !receipts;
    disk_.full_after(0);
    if (receipts) break;
    EXPECT_EQ(receipts.error().code, "ledger.disk_full") << writes;
    EXPECT_EQ(receipts.error().kind, ErrorKind::cannot);
    EXPECT_EQ(must(ledger_->verify()).head, head) << writes;
    EXPECT_EQ(must(ledger_->last_seq()), 3U);
    ASSERT_LT(writes, 100U);
  }
  EXPECT_GT(writes, 6U) << "an event of 20 kB is several pages in the log";
  EXPECT_EQ(must(ledger_->last_seq()), 4U) << "with room again it goes on";
  EXPECT_TRUE(must(ledger_->verify(head)).intact);
}

TEST_F(OnABadDisk, aDiskFullWhileALedgerIsMadeOrOpenedLeavesNoHalfOfOne) {
  for (std::uint64_t writes = 1; writes < 40; ++writes) {
    faults::PowerCutDisk fresh(writes);
    OpenOptions options = options_;
    options.vfs = fresh.vfs();
    fresh.full_after(writes);
    const auto made = open_sqlite("/new.db", options);
    EXPECT_EQ(made ? "ledger.disk_full" : made.error().code, "ledger.disk_full") << writes;
    fresh.full_after(0);
    const auto again = must(open_sqlite("/new.db", options));
    append_some(*again, 1, 2);
    EXPECT_TRUE(must(again->verify()).intact);
  }
}

TEST_F(OnABadDisk, aDiskFullDuringACheckpointLosesNothing) {
  const auto numbered = [](std::uint8_t n) {
    Envelope big = envelope(n, std::string(100'000, 'y'));
    big.id = id_number(0, n);
    return big;
  };
  std::uint64_t refusals = 0;
  std::uint8_t next = 10;
  for (std::uint64_t writes = 1; writes < 3000 && next < 200; writes += 37) {
    disk_.full_after(writes);
    while (next < 200) {
      const Envelope big = numbered(next);
      const auto receipts = ledger_->append({&big, 1}, at_hour(next));
      if (!receipts) {
        EXPECT_EQ(receipts.error().code, "ledger.disk_full");
        ++refusals;
        break;
      }
      ++next;
    }
    disk_.full_after(0);
  }
  EXPECT_GT(refusals, 3U);
  const Envelope again = numbered(next);
  EXPECT_TRUE(ledger_->append({&again, 1}, at_hour(next)));
  const auto found = must(ledger_->verify());
  EXPECT_TRUE(found.intact);
  EXPECT_EQ(found.events, 3U + next - 9U);
}

TEST_F(OnABadDisk, afterAFailedSyncOnlyReadingGoesOn) {
  disk_.fail_sync_after(1);
  const auto refused = append(4);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "ledger.not_kept");
  EXPECT_EQ(append(5).error().code, "ledger.not_kept") << "the disk works again, and nobody knows what it holds";
  EXPECT_EQ(ledger_->writable().error().code, "ledger.not_kept");
  EXPECT_EQ(ledger_->blob_put("x").error().code, "ledger.not_kept");
  EXPECT_EQ(must(ledger_->read(1)).size(), 3U);
  ledger_.reset();
  ledger_ = must(open_sqlite("/ledger.db", options_));
  EXPECT_TRUE(ledger_->writable());
  EXPECT_TRUE(append(5));
}

TEST_F(OnABadDisk, aReadOnlyFileIsReadAndNotWritten) {
  ledger_.reset();
  disk_.read_only(true);
  ledger_ = must(open_sqlite("/ledger.db", options_));
  EXPECT_EQ(must(ledger_->read(1)).size(), 3U);
  EXPECT_TRUE(must(ledger_->verify()).intact);
  const auto refused = append(4);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "ledger.read_only");
}

TEST_F(OnABadDisk, aDiskThatGoesAwayIsAnErrorNotACrash) {
  disk_.cut_after(1);
  const auto refused = append(4);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().kind, ErrorKind::cannot);
}

}  // namespace
}  // namespace leafturn::store::test
