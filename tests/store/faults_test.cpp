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
  const auto outcome = faults::kill_writers(200, 20260531, fresh_folder("store-kills"));
  EXPECT_EQ(outcome.stops, 200);
  EXPECT_GT(outcome.acknowledged, 200U);
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

TEST_F(OnABadDisk, aFullDiskRefusesAndKeepsWhatWasThere) {
  const Digest head = must(ledger_->verify()).head;
  for (std::uint64_t writes = 1; writes <= 6; ++writes) {
    disk_.full_after(writes);
    const auto refused = append(4);
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, "ledger.disk_full");
    EXPECT_EQ(refused.error().kind, ErrorKind::cannot);
    disk_.full_after(0);
    EXPECT_EQ(must(ledger_->verify()).head, head);
    EXPECT_EQ(must(ledger_->last_seq()), 3U);
  }
  EXPECT_TRUE(append(4)) << "with room again it goes on";
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
