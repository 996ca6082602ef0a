// What every ledger does, whatever it is kept on.

#include <algorithm>
#include <filesystem>
#include <functional>
#include <thread>

#include "tests/store/store_support.hpp"

namespace leafturn::store::test {
namespace {

struct Kind {
  std::string name;
  std::function<std::unique_ptr<Ledger>(const std::string& folder)> make;
};

class Conformance : public testing::TestWithParam<Kind> {
 protected:
  Conformance()
      : folder_{fresh_folder("store-conformance-" + GetParam().name + "-" +
                             std::string(testing::UnitTest::GetInstance()->current_test_info()->name()).substr(0, 40))},
        ledger_{GetParam().make(folder_)} {}

  std::vector<Receipt> append(const std::vector<Envelope>& batch, int hour = 50) { return must(ledger_->append(batch, at_hour(hour))); }

  std::string folder_;
  std::unique_ptr<Ledger> ledger_;
};

TEST_P(Conformance, anEmptyLedgerIsIntactAndItsHeadIsZeros) {
  const Verification found = must(ledger_->verify());
  EXPECT_TRUE(found.intact);
  EXPECT_EQ(found.events, 0U);
  EXPECT_EQ(found.head, Digest{});
  EXPECT_EQ(must(ledger_->last_seq()), 0U);
  EXPECT_TRUE(must(ledger_->read(1)).empty());
}

TEST_P(Conformance, seqIsDenseAndTheLinkIsTheHashOfItsParts) {
  const auto receipts = append({envelope(1), envelope(2)}, 7);
  ASSERT_EQ(receipts.size(), 2U);
  EXPECT_EQ(receipts[0].seq, 1U);
  EXPECT_EQ(receipts[1].seq, 2U);
  EXPECT_EQ(receipts[1].kind, Receipt::Kind::appended);
  std::string parts(receipts[0].link.bytes.begin(), receipts[0].link.bytes.end());
  for (const std::uint64_t number : {std::uint64_t{2}, static_cast<std::uint64_t>(at_hour(7).unix_microseconds())})
    for (int shift = 56; shift >= 0; shift -= 8) parts += static_cast<char>(number >> shift & 0xff);
  const Digest event_hash = sha256(envelope(2).bytes);
  parts.append(event_hash.bytes.begin(), event_hash.bytes.end());
  EXPECT_EQ(receipts[1].link, sha256(parts));
}

TEST_P(Conformance, whatWasAppendedIsReadBackToTheByte) {
  Envelope odd = envelope(1);
  odd.bytes = std::string("\0\xff bytes, not text\n", 19);
  odd.writer = "teléfono de Ana\xe2\x80\x94 2";
  append({odd}, 9);
  const auto entries = must(ledger_->read(0));
  ASSERT_EQ(entries.size(), 1U);
  EXPECT_EQ(entries[0].envelope.bytes, odd.bytes);
  EXPECT_EQ(entries[0].envelope.writer, odd.writer);
  EXPECT_EQ(entries[0].envelope.id, odd.id);
  EXPECT_EQ(entries[0].envelope.writer_seq, 1U);
  EXPECT_EQ(entries[0].envelope.happened_at, odd.happened_at);
  EXPECT_EQ(entries[0].received, at_hour(9));
}

TEST_P(Conformance, readStartsWhereAskedAndStopsAtMost) {
  append({envelope(1), envelope(2), envelope(3), envelope(4)});
  const auto some = must(ledger_->read(2, 2));
  ASSERT_EQ(some.size(), 2U);
  EXPECT_EQ(some[0].seq, 2U);
  EXPECT_EQ(some[1].seq, 3U);
  EXPECT_TRUE(must(ledger_->read(5)).empty());
  EXPECT_TRUE(must(ledger_->read(UINT64_MAX)).empty());
}

TEST_P(Conformance, eventsAreFoundByIdAndByPlace) {
  append({envelope(1), envelope(2), envelope(3)});
  EXPECT_EQ(must(ledger_->find(envelope(2).id))->seq, 2U);
  EXPECT_EQ(must(ledger_->find(envelope(2).id))->envelope.bytes, envelope(2).bytes);
  EXPECT_FALSE(must(ledger_->find(envelope(9).id)));
  const std::vector<std::uint64_t> places{1, 3, 7};
  const auto some = must(ledger_->read_at(places));
  ASSERT_EQ(some.size(), 2U) << "7 is beyond the chain";
  EXPECT_EQ(some[0].envelope.id, envelope(1).id);
  EXPECT_EQ(some[1].envelope.id, envelope(3).id);
  EXPECT_TRUE(ledger_->writable());
}

TEST_P(Conformance, aChainFromElsewhereIsTakenAsItWas) {
  const auto elsewhere = open_memory();
  append_some(*elsewhere, 1, 5);
  const auto told = must(elsewhere->read(1));
  ASSERT_TRUE(ledger_->adopt(std::span(told).first(3)));
  ASSERT_TRUE(ledger_->adopt(told)) << "the beginning again, and more";
  EXPECT_EQ(must(ledger_->verify()).head, must(elsewhere->verify()).head);
  EXPECT_TRUE(must(ledger_->verify(told[1].link)).intact) << "a receipt from there holds here";
  const Envelope again = envelope(2);
  EXPECT_EQ(must(ledger_->append({&again, 1}, at_hour(1)))[0].kind, Receipt::Kind::had_it);

  append_some(*elsewhere, 6, 7);
  auto longer = must(elsewhere->read(1));
  auto changed = longer;
  changed[6].envelope.bytes += " ";
  EXPECT_EQ(ledger_->adopt(changed).error().code, "ledger.chain_broken");
  EXPECT_EQ(ledger_->adopt(std::span(told).subspan(1)).error().code, "ledger.chains_differ");
  EXPECT_EQ(must(ledger_->last_seq()), 5U);
  // What is damaged there and sound here does not keep the rest away.
  longer[2].envelope.bytes += " ";
  ASSERT_TRUE(ledger_->adopt(longer));
  EXPECT_EQ(must(ledger_->verify()).head, must(elsewhere->verify()).head);
  EXPECT_TRUE(must(ledger_->verify()).intact);
  const auto other = open_memory();
  append_some(*other, 3, 4);
  EXPECT_EQ(ledger_->adopt(must(other->read(1))).error().code, "ledger.chains_differ");
  EXPECT_EQ(must(ledger_->last_seq()), 7U);
}

TEST_P(Conformance, aGuestIsKeptBesideTheChain) {
  append({envelope(1)});
  const Digest own = must(ledger_->verify()).head;
  const auto elsewhere = open_memory();
  append_some(*elsewhere, 1, 4);
  const auto told = must(elsewhere->read(1));
  ASSERT_TRUE(ledger_->adopt_guest("by the mill", std::span(told).first(2), at_hour(9)));
  ASSERT_TRUE(ledger_->adopt_guest("another name", told, at_hour(10)));
  const auto guests = must(ledger_->guests());
  ASSERT_EQ(guests.size(), 1U) << "one origin, one guest";
  EXPECT_EQ(guests[0].name, "by the mill");
  EXPECT_EQ(guests[0].since, at_hour(9));
  EXPECT_EQ(guests[0].events, 4U);
  EXPECT_EQ(guests[0].head, told.back().link);
  EXPECT_EQ(must(ledger_->read_guest(guests[0].origin, 3)).size(), 2U);
  EXPECT_EQ(must(ledger_->read_guest(guests[0].origin, 1))[1].envelope.bytes, told[1].envelope.bytes);
  EXPECT_TRUE(must(ledger_->read_guest(Digest{}, 1)).empty());
  EXPECT_EQ(must(ledger_->verify()).head, own);
  EXPECT_EQ(must(ledger_->last_seq()), 1U);
  append_some(*elsewhere, 5, 6);
  auto changed = must(elsewhere->read(1));
  changed[5].received = at_hour(7);
  EXPECT_EQ(ledger_->adopt_guest("by the mill", changed, at_hour(9)).error().code, "ledger.chain_broken");
  const std::string copy = folder_ + "/copy.db";
  ASSERT_TRUE(ledger_->backup(copy));
  EXPECT_EQ(must(must(open_sqlite(copy))->guests())[0].events, 4U) << "a backup holds it too";
}

TEST_P(Conformance, theSameEventAgainGetsItsOldReceipt) {
  const auto first = append({envelope(1), envelope(2)}, 1);
  const auto again = append({envelope(1), envelope(3)}, 2);
  EXPECT_EQ(again[0].kind, Receipt::Kind::had_it);
  EXPECT_EQ(again[0].seq, first[0].seq);
  EXPECT_EQ(again[0].link, first[0].link);
  EXPECT_EQ(again[1].seq, 3U);
  EXPECT_EQ(must(ledger_->last_seq()), 3U);
  EXPECT_TRUE(must(ledger_->quarantine()).empty());
}

TEST_P(Conformance, theSameEventTwiceInOneBatchIsOneEvent) {
  const auto receipts = append({envelope(1), envelope(1)});
  EXPECT_EQ(receipts[0].kind, Receipt::Kind::appended);
  EXPECT_EQ(receipts[1].kind, Receipt::Kind::had_it);
  EXPECT_EQ(must(ledger_->last_seq()), 1U);
}

TEST_P(Conformance, theSameIdWithOtherBytesIsKeptOutsideTheChain) {
  append({envelope(1)}, 1);
  const auto receipts = append({envelope(1, "another story")}, 2);
  EXPECT_EQ(receipts[0].kind, Receipt::Kind::quarantined);
  EXPECT_EQ(receipts[0].seq, 0U);
  append({envelope(1, "another story")}, 3);  // told twice, kept once
  const auto kept = must(ledger_->quarantine());
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_EQ(kept[0].envelope.bytes, envelope(1, "another story").bytes);
  EXPECT_EQ(kept[0].received, at_hour(2));
  const auto found = must(ledger_->verify());
  EXPECT_TRUE(found.intact);
  ASSERT_FALSE(found.notes.empty());
  EXPECT_EQ(found.notes.back().code, "ledger.quarantined");
  EXPECT_EQ(must(ledger_->last_seq()), 1U);
  EXPECT_EQ(must(ledger_->read(1))[0].envelope.bytes, envelope(1).bytes);
}

TEST_P(Conformance, aBatchWithOneBadEnvelopeChangesNothing) {
  append({envelope(1)});
  const Digest head = must(ledger_->verify()).head;
  for (const auto& [spoil, field] :
       std::vector<std::pair<std::function<void(Envelope&)>, std::string>>{{[](Envelope& e) { e.writer.clear(); }, "writer"},
                                                                           {[](Envelope& e) { e.writer_seq = 0; }, "writer_seq"},
                                                                           {[](Envelope& e) { e.writer_seq = UINT64_MAX; }, "writer_seq"},
                                                                           {[](Envelope& e) { e.bytes.clear(); }, "bytes"}}) {
    std::vector<Envelope> batch{envelope(2), envelope(3)};
    spoil(batch[1]);
    const auto refused = ledger_->append(batch, at_hour(3));
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, "ledger.envelope");
    EXPECT_EQ(refused.error().where.field, field);
  }
  EXPECT_EQ(must(ledger_->verify()).head, head);
  EXPECT_EQ(must(ledger_->last_seq()), 1U);
}

TEST_P(Conformance, appendsOntoTheSeqItWasJudgedAgainstOnly) {
  const std::vector<Envelope> first{envelope(1)};
  const std::vector<Envelope> second{envelope(2)};
  ASSERT_TRUE(ledger_->append(first, at_hour(1), 0));
  const auto late = ledger_->append(second, at_hour(2), 0);
  ASSERT_FALSE(late);
  EXPECT_EQ(late.error().code, "ledger.moved_on");
  EXPECT_EQ(must(ledger_->last_seq()), 1U);
  EXPECT_TRUE(ledger_->append(second, at_hour(2), 1));
}

TEST_P(Conformance, anEarlierHeadIsFoundAndAForeignOneIsNot) {
  const auto receipts = append({envelope(1), envelope(2), envelope(3)});
  for (const Receipt& r : receipts) EXPECT_TRUE(must(ledger_->verify(r.link)).intact);
  Digest foreign = receipts[2].link;
  foreign.bytes[31] ^= 1;
  const Verification found = must(ledger_->verify(foreign));
  EXPECT_FALSE(found.intact);
  ASSERT_TRUE(found.damage);
  EXPECT_EQ(found.damage->code, "ledger.head_not_in_chain");
}

TEST_P(Conformance, gapsAndDoublesOfAWriterAreNotes) {
  Envelope phone = envelope(9);
  phone.writer = "phone";
  phone.writer_seq = 2;
  Envelope twice = envelope(10);
  twice.writer_seq = 1;
  append({envelope(1), envelope(4), phone, twice});
  const Verification found = must(ledger_->verify());
  EXPECT_TRUE(found.intact);
  std::vector<std::string> told;
  for (const Reason& note : found.notes) {
    std::string line = note.code;
    for (const Fact& fact : note.facts) {
      if (const auto* text = std::get_if<std::string>(&fact.value)) line += " " + *text;
      if (const auto* number = std::get_if<std::int64_t>(&fact.value)) line += " " + std::to_string(*number);
    }
    told.push_back(line);
  }
  std::sort(told.begin(), told.end());
  EXPECT_EQ(told,
            (std::vector<std::string>{"ledger.writer_gap phone 1 1", "ledger.writer_gap shed 2 3", "ledger.writer_seq_twice shed 1"}));
}

TEST_P(Conformance, snapshotsAreKeptPerKindAndNeverAhead) {
  append({envelope(1), envelope(2)});
  EXPECT_FALSE(must(ledger_->snapshot_get("garden")));
  ASSERT_TRUE(ledger_->snapshot_put("garden", {1, "old"}));
  ASSERT_TRUE(ledger_->snapshot_put("garden", {2, std::string("\0new", 4)}));
  ASSERT_TRUE(ledger_->snapshot_put("other", {0, ""}));
  const auto garden = must(ledger_->snapshot_get("garden"));
  ASSERT_TRUE(garden);
  EXPECT_EQ(garden->seq, 2U);
  EXPECT_EQ(garden->bytes, std::string("\0new", 4));
  EXPECT_EQ(must(ledger_->snapshot_get("other"))->bytes, "");
  const auto ahead = ledger_->snapshot_put("garden", {3, "x"});
  ASSERT_FALSE(ahead);
  EXPECT_EQ(ahead.error().code, "ledger.snapshot_ahead");
  EXPECT_EQ(must(ledger_->snapshot_get("garden"))->seq, 2U);
}

TEST_P(Conformance, aBlobIsNamedByItsDigest) {
  const std::string text("card\0text", 9);
  const Digest name = must(ledger_->blob_put(text));
  EXPECT_EQ(name, sha256(text));
  EXPECT_EQ(must(ledger_->blob_put(text)), name);
  EXPECT_EQ(must(ledger_->blob_get(name)), text);
  EXPECT_EQ(must(ledger_->blob_get(must(ledger_->blob_put("")))), "");
  const auto none = ledger_->blob_get(sha256("never put"));
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().code, "ledger.no_such_blob");
  EXPECT_EQ(none.error().kind, ErrorKind::not_found);
}

TEST_P(Conformance, aBackupOpensWithTheSameChain) {
  append({envelope(1), envelope(2)});
  append({envelope(2, "another story")});
  const Digest blob = must(ledger_->blob_put("card"));
  ASSERT_TRUE(ledger_->snapshot_put("garden", {2, "state"}));
  const std::string copy = folder_ + "/copy.db";
  ASSERT_TRUE(ledger_->backup(copy));
  append({envelope(3)});
  const auto opened = must(open_sqlite(copy));
  EXPECT_EQ(must(opened->last_seq()), 2U);
  EXPECT_TRUE(must(opened->verify(must(ledger_->read(2))[0].link)).intact);
  EXPECT_EQ(must(opened->quarantine()).size(), 1U);
  EXPECT_EQ(must(opened->blob_get(blob)), "card");
  EXPECT_FALSE(must(opened->snapshot_get("garden"))) << "a cache";
  EXPECT_FALSE(std::filesystem::exists(copy + ".partial"));
}

TEST_P(Conformance, aBackupNeverReplacesAFile) {
  append({envelope(1)});
  const std::string copy = folder_ + "/copy.db";
  ASSERT_TRUE(ledger_->backup(copy));
  const std::string before = read_file(copy);
  append({envelope(2)});
  const auto refused = ledger_->backup(copy);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "ledger.backup_exists");
  EXPECT_EQ(read_file(copy), before);
  const auto nowhere = ledger_->backup(folder_ + "/no/such/folder/copy.db");
  ASSERT_FALSE(nowhere);
  EXPECT_EQ(nowhere.error().kind, ErrorKind::cannot);
}

TEST_P(Conformance, fourThreadsAtOnceLoseNothing) {
  std::vector<std::thread> threads;
  for (std::uint8_t t = 0; t < 4; ++t)
    threads.emplace_back([this, t] {
      for (std::uint8_t n = 1; n <= 10; ++n) {
        Envelope one = envelope(n);
        one.id = id_number(n, static_cast<std::uint8_t>(t + 1));
        one.writer = "thread " + std::to_string(t);
        EXPECT_TRUE(ledger_->append({&one, 1}, at_hour(1)));
        EXPECT_TRUE(ledger_->verify());
      }
    });
  for (auto& thread : threads) thread.join();
  const Verification found = must(ledger_->verify());
  EXPECT_TRUE(found.intact);
  EXPECT_EQ(found.events, 40U);
  EXPECT_TRUE(found.notes.empty());
}

std::unique_ptr<Ledger> on_sqlite(const std::string& folder) { return must(open_sqlite(folder + "/ledger.db", {.create = true})); }

INSTANTIATE_TEST_SUITE_P(EveryKind, Conformance,
                         testing::Values(Kind{"sqlite", on_sqlite}, Kind{"memory", [](const std::string&) { return open_memory(); }}),
                         [](const auto& kind) { return kind.param.name; });

// FIPS 180-4 test vectors as published by NIST (CSRC 'SHA256.pdf' examples), from memory.
TEST(Sha256, agreesWithTheStandardsExamples) {
  EXPECT_EQ(sha256("abc").hex(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq").hex(),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

}  // namespace
}  // namespace leafturn::store::test
