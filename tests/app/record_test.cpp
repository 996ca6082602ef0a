#include "app/record.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <stdexcept>
#include <thread>

#include "app/brief.hpp"
#include "io/event_json.hpp"
#include "tests/app/ledgering.hpp"

namespace leafturn::app {
namespace {

TEST_F(Ledgering, AmendmentIsJudgedLikeANewApplication) {
  const auto made = say(spray("1", "Demo Spin Two", State::made)).value();
  EXPECT_EQ(code(amended(made, spray("1", "Demo Spin Two", State::made, "1 qt/gal"))), "treat.refused") << "above the highest rate";
  EXPECT_EQ(code(amended(made, spray("9", "Demo Oil One", State::made))), "treat.refused") << "a crop the card doesn't list";
  EXPECT_EQ(code(amended(made, spray("1", "Demo Cat Three", State::made, "1 tsp/gal"))), "treat.unknown");
  EXPECT_EQ(code(amended(made, spray("1", "Demo Spin Two", State::made, "1.5 floz/gal"))), "") << "its own interval is not in its way";
}

TEST_F(Ledgering, AmendedTimeMayNotBreakAnInterval) {
  const auto made = say(spray("1", "Demo Spin Two", State::made), day_ - Duration::hours(24 * 20));
  ASSERT_TRUE(made) << made.error().code;
  const auto later = say(spray("1", "Demo Spin Two", State::made));
  ASSERT_TRUE(later) << later.error().code;
  const auto same = spray("1", "Demo Spin Two", State::made);
  EXPECT_EQ(code(amended(*later, same, day_ - Duration::hours(24 * 18))), "treat.refused");
}

TEST_F(Ledgering, WhatWasSprayedStaysSprayed) {
  const auto made = say(spray("1", "Demo Spin Two", State::made)).value();
  EXPECT_EQ(code(garden::Amended{made.receipt.id, "no", std::nullopt, std::nullopt}), "treat.made_stays");
  auto planned = spray("1", "Demo Spin Two", State::planned);
  EXPECT_EQ(code(amended(made, planned)), "treat.state_stays");
  auto cancelled = spray("1", "Demo Spin Two", State::cancelled);
  cancelled.plan = made.receipt.id;
  EXPECT_NE(code(amended(made, cancelled)), "");
}

TEST_F(Ledgering, MarkOutsideTheLabelStaysUntilTheCardAllowsIt) {
  auto outside = spray("9", "Demo Oil One", State::made);
  outside.outside_label = true;
  const auto made = say(outside).value();
  outside.outside_label = false;
  EXPECT_EQ(code(amended(made, outside)), "treat.refused");
  auto allowed = spray("1", "Demo Spin Two", State::made);
  const auto other = say(allowed).value();
  allowed.rate = "1 qt/gal";
  allowed.outside_label = true;
  EXPECT_EQ(code(amended(other, allowed)), "");
  EXPECT_NE(state().locked_by("1"), nullptr);
}

TEST_F(Ledgering, TwoProgramsCannotBothMakeTheLastAllowedOne) {
  const auto twin = OpenGarden::open(folder_).value();
  std::atomic<int> written = 0;
  const auto write = [&](OpenGarden& garden, const char* writer) {
    if (record_saying(garden, spray("1", "Demo Spin Two", State::made), writer, "lead", day_, day_)) ++written;
  };
  std::thread other([&] { write(*twin, "other"); });
  write(*garden_, "one");
  other.join();
  EXPECT_EQ(written, 1) << "the second is inside the interval";
}

TEST_F(Ledgering, PlanMayBeWithdrawn) {
  const auto plan = say(spray("1", "Demo Spin Two", State::planned)).value();
  EXPECT_EQ(code(amended(plan, spray("1", "Demo Spin Two", State::planned, "1 qt/gal"))), "treat.refused");
  EXPECT_EQ(code(garden::Amended{plan.receipt.id, "rain", std::nullopt, std::nullopt}), "");
}

TEST_F(Ledgering, WhatWasMadeIsRecordableHoweverItWas) {
  auto splash = spray("1", "Demo Spin Two", State::made, "a good splash");
  EXPECT_NE(code(splash), "");
  splash.outside_label = true;
  EXPECT_EQ(code(splash), "");
  auto no_card = splash;
  no_card.card.reset();
  EXPECT_EQ(code(no_card), "");
  garden::BedLaid bare{"bare", Length::metres(50), Length::metres(50), Length::metres(1), Length::metres(2)};
  ASSERT_EQ(code(bare), "");
  auto on_soil = spray("bare", "Demo Spin Two", State::made);
  EXPECT_EQ(code(on_soil), "treat.bed_empty");
  on_soil.outside_label = true;
  EXPECT_EQ(code(on_soil), "");
  on_soil.card = Digest{};
  EXPECT_EQ(code(on_soil), "treat.card_changed") << "a card nobody copied";
}

TEST_F(Ledgering, MadeOneMayRestOnTheCardThatWasInUseThen) {
  const Digest old = cards_.at("Demo Spin Two");
  const std::string text = garden_->ledger().blob_get(old).value() + "\n# copied again\n";
  const Digest fresh = garden_->ledger().blob_put(text).value();
  ASSERT_EQ(code(garden::CardCopied{"Demo Spin Two", fresh}), "");
  EXPECT_EQ(code(spray("1", "Demo Spin Two", State::planned)), "treat.card_changed");
  EXPECT_TRUE(say(spray("1", "Demo Spin Two", State::made), day_ - Duration::hours(1)));
}

TEST_F(Ledgering, OneUnreadableEventDoesNotSilenceTheGarden) {
  EXPECT_EQ(code(garden::CardCopied{"Demo Nothing", Digest{}}), "ledger.no_such_blob");
  EXPECT_EQ(code(garden::WeatherAdded{"w.csv", Digest{}}), "ledger.no_such_blob");
  EXPECT_EQ(code(garden::CardCopied{"Another Name", cards_.at("Demo Spin Two")}), "treat.card_of_another");
  auto described = *state().described;
  described.zone = "Mars/Olympus";
  EXPECT_EQ(code(described), "zone.unknown");
  EXPECT_TRUE(brief(*garden_, day_, day_));
}

TEST_F(Ledgering, SprayedBedKeepsItsName) {
  ASSERT_EQ(code(spray("1", "Demo Spin Two", State::made)), "");
  const auto all = garden_->told_of("1", 1000).value();
  for (const auto& r : all) {
    const auto* laid = std::get_if<garden::BedLaid>(&r.event.payload);
    if (laid == nullptr || laid->bed != "1") continue;
    auto other = *laid;
    other.bed = "one";
    EXPECT_EQ(code(garden::Amended{r.event.heading.id, "new sign", garden::Saying{other}, std::nullopt}), "garden.bed_in_use");
    EXPECT_EQ(code(garden::Amended{r.event.heading.id, "gone", std::nullopt, std::nullopt}), "garden.bed_in_use");
    other = *laid;
    other.width = Length::metres(1.1);
    EXPECT_EQ(code(garden::Amended{r.event.heading.id, "measured", garden::Saying{other}, std::nullopt}), "");
  }
}

TEST_F(Ledgering, AmendedZoneIsTheGardensClock) {
  auto described = *state().described;
  described.zone = "Europe/Berlin";
  const auto told = say(described, day_ - Duration::hours(1)).value();
  EXPECT_EQ(garden_->zone().value().name(), "Europe/Berlin");
  described.zone = "America/Denver";
  ASSERT_EQ(code(garden::Amended{told.receipt.id, "wrong zone", garden::Saying{described}, std::nullopt}), "");
  EXPECT_EQ(garden_->zone().value().name(), "America/Denver");
}

TEST_F(Ledgering, PlanIsCarriedOutInItsOwnBedWithItsOwnProduct) {
  const auto plan = say(spray("1", "Demo Spin Two", State::planned)).value();
  auto cancelled = spray("2", "Demo Spin Two", State::cancelled);
  cancelled.plan = plan.receipt.id;
  EXPECT_EQ(code(cancelled), "garden.plan_of_another");
  cancelled.bed = "1";
  cancelled.product = "Demo Oil One";
  EXPECT_EQ(code(cancelled), "garden.plan_of_another");
}

/// What the ledger's last two events are: an application and what it was judged to be.
using Verdict = garden::ApplicationJudged::Verdict;

TEST_F(Ledgering, UnjudgedApplicationIsJudgedInTheSameCommit) {
  auto a = spray("1", "Demo Spin Two", State::made);
  a.not_judged = true;
  const auto before = garden_->ledger().last_seq().value();
  const auto outcome = say(a).value();
  ASSERT_TRUE(outcome.judged);
  EXPECT_EQ(outcome.judged->verdict, Verdict::within_label);
  ASSERT_TRUE(outcome.judgement);
  EXPECT_EQ(garden_->ledger().last_seq().value(), before + 2);
  const auto told = garden_->ledger().read(before + 1).value();
  const auto judgement = io::decode_event(told.back().envelope.bytes).value();
  EXPECT_EQ(judgement.heading.writer, "judge");
  EXPECT_EQ(std::get<garden::ApplicationJudged>(judgement.payload).application, outcome.receipt.id);
  EXPECT_EQ(judgement.heading.happened_at, day_) << "known whenever the application is";
  EXPECT_EQ(state().locked_by("1"), nullptr);
}

TEST_F(Ledgering, UnjudgedApplicationIsWrittenWhateverItsCardSays) {
  struct Case {
    const char* what;
    Application a;
    const char* rule;
  };
  auto no_card = spray("2", "Demo Spin Two", State::made);
  no_card.card.reset();
  auto other_card = spray("3", "Demo Spin Two", State::made);
  other_card.card = cards_.at("Demo Oil One");
  for (auto& [what, a, rule] :
       std::vector<Case>{{"a crop not listed", spray("9", "Demo Oil One", State::made), "crop"},
                         {"too much", spray("1", "Demo Spin Two", State::made, "1 qt/gal"), "rate"},
                         {"no card named", no_card, "treat.card_not_named"},
                         {"another's card", other_card, "treat.card_changed"},
                         {"no card at all", spray("4", "Bottle without a label", State::made), "treat.no_such_card"},
                         {"an unreadable rate", spray("5", "Demo Spin Two", State::made, "a splash"), "label.rate_unreadable"}}) {
    a.not_judged = true;
    const auto outcome = say(a);
    ASSERT_TRUE(outcome) << what << ": " << outcome.error().code;
    ASSERT_TRUE(outcome->judged) << what;
    EXPECT_EQ(outcome->judged->verdict, Verdict::outside_label) << what;
    EXPECT_EQ(outcome->judged->rule, rule) << what;
    EXPECT_NE(state().locked_by(a.bed), nullptr) << what;
  }
}

TEST_F(Ledgering, SentAgainAnUnjudgedApplicationIsJudgedOnce) {
  auto a = spray("9", "Demo Oil One", State::made);
  a.not_judged = true;
  const garden::Event event{{Id::version7(1'780'000'000'000, {}), "phone", 1, day_, "applicator"}, a};
  const std::string bytes = io::encode_event(event);
  const auto first = record(*garden_, bytes, day_).value();
  const auto last = garden_->ledger().last_seq().value();
  const auto again = record(*garden_, bytes, day_ + Duration::hours(1)).value();
  EXPECT_EQ(again.receipt.kind, store::Receipt::Kind::had_it);
  EXPECT_EQ(again.receipt.seq, first.receipt.seq);
  EXPECT_EQ(garden_->ledger().last_seq().value(), last);
  ASSERT_TRUE(again.judged) << "the phone that missed the first answer must hear it";
  EXPECT_EQ(again.judged->verdict, Verdict::outside_label);
}

TEST_F(Ledgering, NobodyElseJudges) {
  auto a = spray("9", "Demo Oil One", State::made);
  a.not_judged = true;
  const auto made = say(a).value();
  EXPECT_EQ(code(garden::ApplicationJudged{Verdict::within_label, made.receipt.id, "9", {}, ""}), "treat.judged_here");
  EXPECT_NE(state().locked_by("9"), nullptr);
}

TEST_F(Ledgering, AmendedUnjudgedApplicationIsJudgedAnew) {
  auto a = spray("1", "Demo Spin Two", State::made, "1 qt/gal");
  a.not_judged = true;
  const auto made = say(a).value();
  ASSERT_NE(state().locked_by("1"), nullptr);
  a.rate = "1 floz/gal";
  const auto right = say(amended(made, a)).value();
  ASSERT_TRUE(right.judged);
  EXPECT_EQ(right.judged->verdict, Verdict::within_label);
  EXPECT_EQ(right.judged->application, made.receipt.id);
  EXPECT_EQ(state().locked_by("1"), nullptr);
}

TEST_F(Ledgering, WhatCouldNotBeJudgedWaitsAndClosesItsBed) {
  // A ledger as another program may leave it: the application without its judgement.
  auto a = spray("1", "Demo Spin Two", State::made);
  a.not_judged = true;
  const garden::Event event{{Id::version7(1'780'000'000'000, {}), "phone", 1, day_, "applicator"}, a};
  const store::Envelope envelope{event.heading.id, "phone", 1, day_, io::encode_event(event)};
  ASSERT_TRUE(garden_->ledger().append({&envelope, 1}, day_));
  const auto bed = [&] {
    const auto answer = brief(*garden_, {day_ + Duration::minutes(1)}, day_).value();
    for (const auto& b : answer.brief.beds)
      if (b.bed == "1") return b;
    throw std::runtime_error("no bed 1");
  };
  EXPECT_EQ(bed().harvest.why.code, "clear.not_judged");
  EXPECT_EQ(bed().entry.why.code, "clear.not_judged");
  EXPECT_FALSE(bed().harvest.clear || bed().harvest.from || bed().entry.clear || bed().entry.from);
  EXPECT_EQ(bed().headline.code, "headline.not_judged");
  EXPECT_EQ(judge_waiting(*garden_, day_).value(), 1U);
  EXPECT_EQ(judge_waiting(*garden_, day_).value(), 0U);
  EXPECT_EQ(bed().harvest.why.code, "clear.harvest_from");
}

TEST_F(Ledgering, PhoneWhoseClockIsAheadIsReadByItsOffset) {
  garden::Event event{{Id::version7(1'780'000'000'000, {}), "phone", 1, day_ + Duration::hours(3), "scout"},
                      garden::CountTaken{"1", "PIERRA", "egg", 5, 2}};
  EXPECT_EQ(record(*garden_, io::encode_event(event), day_).error().code, "garden.in_the_future");
  event.heading.clock_offset = Duration::hours(3);
  ASSERT_TRUE(record(*garden_, io::encode_event(event), day_));
  EXPECT_EQ(state().counts.back().at, day_);
  const auto entry = garden_->ledger().read(garden_->ledger().last_seq().value()).value().front();
  EXPECT_EQ(entry.envelope.happened_at, day_ + Duration::hours(3)) << "kept as the phone said it";
  EXPECT_TRUE(garden_->ledger().verify().value().intact);
}

}  // namespace
}  // namespace leafturn::app
