// What events add up to.

#include <rapidcheck/gtest.h>

#include <algorithm>

#include "core/garden/chronicle.hpp"
#include "io/chronicle_bytes.hpp"
#include "io/event_json.hpp"
#include "tests/garden/arbitrary.hpp"
#include "tests/garden/naive_fold.hpp"

namespace leafturn::garden::test {
namespace {

/// A garden as text, so that two can be compared and a difference read; with the places in the ledger, where those must be the same too.
std::string picture(const Garden& g, bool places = false) {
  std::string out;
  out += std::to_string(g.last_seq) + "\n";
  const auto line = [&](const Id& id, Instant at, const std::string& by, bool amended, const Saying& what) {
    out += io::encode_event({{id, "w", 1, at, by}, as_payload(what)}) + (amended ? " amended\n" : "\n");
  };
  if (g.described) line({}, {}, "", false, *g.described);
  for (const auto& b : g.beds) line({}, {}, "", false, b);
  for (const auto& p : g.plantings) {
    line(p.id, p.at, "", false, p.sown);
    out += p.removed ? "removed " + p.removed->iso_utc() + "\n" : "stands\n";
  }
  const auto all = [&](const auto& list) {
    for (const auto& d : list) {
      line(d.id, d.at, d.by, d.amended, d.what);
      if (places) out += std::to_string(d.said) + " " + std::to_string(d.seq) + "\n";
    }
  };
  all(g.counts), all(g.work), all(g.applications), all(g.harvests), all(g.planned_harvests), all(g.cards), all(g.weather), all(g.releases),
      all(g.judgements);
  return out;
}

Instant late() { return Instant::from_unix_microseconds(1'780'000'000'000'000) + Duration::hours(1000); }

/// Event by event, as the ledger gives them.
void add_all(Chronicle& chronicle, const std::vector<Recorded>& history, std::size_t from, std::size_t to) {
  for (std::size_t i = from; i < to; ++i) {
    const auto* amended = std::get_if<Amended>(&history[i].event.payload);
    const auto before = history.begin() + static_cast<std::ptrdiff_t>(i);
    const auto target = std::find_if(history.begin(), before,
                                     [&](const Recorded& r) { return amended != nullptr && r.event.heading.id == amended->target; });
    chronicle.add(history[i], amended != nullptr && target != before ? &*target : nullptr);
  }
}

RC_GTEST_PROP(Fold, isWhatTheWordsSay, ()) {
  const auto history = any_history(60);
  const Instant at = *any_instant();
  const NaiveFold naive(history);
  RC_ASSERT(picture(fold(history, at), true) == picture(naive.at(at), true));
  RC_ASSERT(picture(fold(history, late()), true) == picture(naive.at(late()), true));
}

RC_GTEST_PROP(Fold, aSnapshotOfAPrefixAndThenTheRestEqualsAll, ()) {
  const auto history = any_history(60);
  const Instant at = *any_instant();
  const auto cut = *rc::gen::inRange<std::size_t>(0, history.size() + 1);
  Chronicle chronicle;
  add_all(chronicle, history, 0, cut);
  const std::string bytes = io::chronicle_bytes(chronicle);
  auto continued = io::chronicle_from(bytes);
  RC_ASSERT(continued.has_value());
  RC_ASSERT(io::chronicle_bytes(*continued) == bytes);
  add_all(*continued, history, cut, history.size());
  if (*rc::gen::arbitrary<bool>()) continued->settle();
  RC_ASSERT(picture(continued->at(at), true) == picture(NaiveFold(history).at(at), true));
  RC_ASSERT(continued->last_seq() == history.size());
  RC_ASSERT(continued->last_of("shed") == history.size());
}

/// A reader's copy is what it was, whatever the writer adds.
RC_GTEST_PROP(Fold, aCopyStaysWhatItWas, ()) {
  const auto history = any_history(60);
  const auto cut = *rc::gen::inRange<std::size_t>(0, history.size() + 1);
  Chronicle chronicle;
  add_all(chronicle, history, 0, cut);
  const Chronicle copy = chronicle;
  const std::string before = picture(copy.at(late()));
  add_all(chronicle, history, cut, history.size());
  chronicle.settle();
  RC_ASSERT(picture(copy.at(late())) == before);
}

RC_GTEST_PROP(Fold, aCutOrChangedSnapshotIsRefusedOrHarmless, ()) {
  Chronicle chronicle;
  const auto history = any_history(20);
  add_all(chronicle, history, 0, history.size());
  std::string bytes = io::chronicle_bytes(chronicle);
  const auto place = *rc::gen::inRange<std::size_t>(0, bytes.size());
  RC_ASSERT(!io::chronicle_from(bytes.substr(0, place)));
  bytes[place] = static_cast<char>(bytes[place] ^ *rc::gen::inRange(1, 256));
  if (const auto other = io::chronicle_from(bytes)) (void)other->at(late());
}

RC_GTEST_PROP(Fold, changesBetweenTwoTimesAreSeen, ()) {
  const auto history = any_history(30);
  Chronicle chronicle;
  add_all(chronicle, history, 0, history.size());
  const Instant from = *any_instant();
  const Instant to = from + Duration::hours(*rc::gen::inRange(0, 40));
  if (!chronicle.changes_between(from, to)) RC_ASSERT(picture(chronicle.at(from)) == picture(chronicle.at(to)));
}

RC_GTEST_PROP(Fold, theOrderOfReadingChangesNothing, ()) {
  const auto history = any_history(40);
  auto shuffled = history;
  for (std::size_t i = shuffled.size(); i > 1; --i) std::swap(shuffled[i - 1], shuffled[*rc::gen::inRange<std::size_t>(0, i)]);
  RC_ASSERT(picture(fold(shuffled, late())) == picture(fold(history, late())));
}

/// Late events: whatever order they reached the ledger in, the garden is the same, because rules read happened_at.
RC_GTEST_PROP(Fold, theOrderOfAppendingChangesNothingWithoutAmendments, ()) {
  const auto size = *rc::gen::inRange<std::size_t>(0, 30);
  std::vector<Recorded> history;
  for (std::size_t n = 0; n < size; ++n) {
    Event event = any_event(n, std::nullopt);
    event.heading.happened_at = event.heading.happened_at + Duration{static_cast<std::int64_t>(n) * 10};  // no ties
    history.push_back({n + 1, event.heading.happened_at, event});
  }
  auto appended_otherwise = history;
  for (std::size_t i = size; i > 1; --i) {
    Recorded& a = appended_otherwise[i - 1];
    Recorded& b = appended_otherwise[*rc::gen::inRange<std::size_t>(0, i)];
    std::swap(a.seq, b.seq);
  }
  RC_ASSERT(picture(fold(appended_otherwise, late())) == picture(fold(history, late())));
}

RC_GTEST_PROP(Fold, ofAmendmentsTheLatestBySeqHolds, ()) {
  Event count{{numbered_id(1), "shed", 1, *any_instant(), "a"}, CountTaken{"bed 1", "PIERRA", "egg", 10, 1}};
  std::vector<Recorded> history{{1, late(), count}};
  const auto amendments = *rc::gen::inRange<std::uint64_t>(1, 6);
  for (std::uint64_t n = 1; n <= amendments; ++n) {
    const Amended a{numbered_id(1), "miscounted", Saying{CountTaken{"bed 1", "PIERRA", "egg", 10, static_cast<int>(100 + n)}},
                    std::nullopt};
    history.push_back({n + 1, late(), {{numbered_id(1 + n), "phone", n, *any_instant(), "b"}, a}});
  }
  std::reverse(history.begin(), history.begin() + *rc::gen::inRange<std::ptrdiff_t>(0, static_cast<std::ptrdiff_t>(history.size())));
  const Garden garden = fold(history, late());
  RC_ASSERT(garden.counts.size() == 1U);
  RC_ASSERT(garden.counts[0].what.count == static_cast<int>(100 + amendments));
  RC_ASSERT(garden.counts[0].amended);
  RC_ASSERT(garden.counts[0].by == "a");
}

RC_GTEST_PROP(Fold, whatHappenedLaterIsLeftOut, ()) {
  const auto history = any_history(40);
  const Instant at = *any_instant();
  const Garden garden = fold(history, at);
  for (const auto& c : garden.counts) RC_ASSERT(c.at <= at);
  for (const auto& p : garden.plantings) RC_ASSERT(p.at <= at && (!p.removed || *p.removed <= at));
  for (const auto& a : garden.applications) RC_ASSERT(a.at <= at);
}

/// A short story, told out of order.
class Story : public testing::Test {
 protected:
  static Instant day(int n, int hour = 12) { return *Instant::parse("2026-05-01T00:00:00Z") + Duration::hours(24 * n + hour); }
  Id tell(Instant at, Payload payload) {
    const std::size_t n = history_.size() + 1;
    history_.push_back({n, at, {{numbered_id(n), "shed", n, at, "lead"}, std::move(payload)}});
    return numbered_id(n);
  }
  Garden garden(Instant at) const { return fold(history_, at); }
  static Date date(int n) { return *Date::parse("2026-05-01") + Days{n}; }
  std::vector<std::string> standing(const Garden& g, Instant at, Date today) const {
    std::vector<std::string> names;
    for (const Planting* p : g.standing("1", at, today)) names.push_back(p->sown.planting);
    return names;
  }
  std::vector<Recorded> history_;
};

TEST_F(Story, pullingABedRemovesWhatStandsAndNotWhatComesLater) {
  tell(day(0), BedLaid{"1", {}, {}, Length::metres(1), Length::metres(5)});
  tell(day(1), PlantingSown{"kale-1", "1", "BRSOA", 20, date(1), {}, {}});
  tell(day(2), PlantingSown{"okra-1", "1", "ABMES", 20, date(20), {}, {}});
  tell(day(10), WorkDone{WorkDone::Kind::pull, "1", ""});
  const Garden g = garden(day(30));
  EXPECT_EQ(standing(g, day(5), date(5)), (std::vector<std::string>{"kale-1"}));
  EXPECT_TRUE(standing(g, day(11), date(11)).empty());
  EXPECT_EQ(standing(g, day(25), date(25)), (std::vector<std::string>{"okra-1"}));
}

TEST_F(Story, aLateSowingIsFoundFromItsTimeOn) {
  tell(day(0), BedLaid{"1", {}, {}, Length::metres(1), Length::metres(5)});
  tell(day(9), CountTaken{"1", "PIERRA", "egg", 10, 2});
  tell(day(3), PlantingSown{"kale-1", "1", "BRSOA", 20, {}, {}, {}});
  EXPECT_TRUE(standing(garden(day(2)), day(2), date(2)).empty());
  EXPECT_EQ(standing(garden(day(9)), day(9), date(9)).size(), 1U);
}

TEST_F(Story, aWithdrawnRemovalBringsThePlantingBack) {
  tell(day(1), PlantingSown{"kale-1", "1", "BRSOA", 20, date(1), {}, {}});
  const Id removal = tell(day(5), PlantingRemoved{"kale-1"});
  EXPECT_TRUE(standing(garden(day(6)), day(6), date(6)).empty());
  const Id withdrawal = tell(day(6), Amended{removal, "wrong bed", std::nullopt, std::nullopt});
  EXPECT_EQ(standing(garden(day(6)), day(6), date(6)).size(), 1U);
  // An amendment of an amendment says nothing; amending the first again does.
  tell(day(7), Amended{withdrawal, "no", std::nullopt, std::nullopt});
  EXPECT_EQ(standing(garden(day(8)), day(8), date(8)).size(), 1U);
  tell(day(7), Amended{removal, "right after all", Saying{PlantingRemoved{"kale-1"}}, day(7)});
  EXPECT_EQ(standing(garden(day(8)), day(6), date(6)).size(), 1U);
  EXPECT_TRUE(standing(garden(day(8)), day(8), date(8)).empty());
}

TEST_F(Story, aReplacementOfAnotherKindChangesNothing) {
  const Id sown = tell(day(1), PlantingSown{"kale-1", "1", "BRSOA", 20, date(1), {}, {}});
  tell(day(2), Amended{sown, "odd", Saying{CardCopied{"Demo Oil One", {}}}, std::nullopt});
  EXPECT_EQ(garden(day(3)).plantings.size(), 1U);
  EXPECT_TRUE(garden(day(3)).cards.empty());
}

TEST_F(Story, anApplicationOutsideTheLabelLocksItsBedUntilReleased) {
  Application a;
  a.bed = "1";
  a.product = "Demo Oil One";
  a.outside_label = true;
  const Id id = tell(day(2), a);
  ASSERT_NE(garden(day(3)).locked_by("1"), nullptr);
  EXPECT_EQ(garden(day(3)).locked_by("1")->id, id);
  EXPECT_EQ(garden(day(3)).locked_by("2"), nullptr);
  const Id release = tell(day(4), BedReleased{BedReleased::Basis::destroyed, "1", "composted"});
  EXPECT_NE(garden(day(3)).locked_by("1"), nullptr);
  EXPECT_EQ(garden(day(5)).locked_by("1"), nullptr);
  tell(day(3), a);
  EXPECT_NE(garden(day(5)).locked_by("1"), nullptr) << "told after the release, which can't have meant it";
  tell(day(6), Amended{release, "typed wrongly", Saying{BedReleased{BedReleased::Basis::destroyed, "1", "burnt"}}, std::nullopt});
  EXPECT_NE(garden(day(5)).locked_by("1"), nullptr);
}

TEST_F(Story, aReleaseDoesNotCoverWhatAnAmendmentPutsOutsideTheLabelLater) {
  Application a;
  a.bed = "1";
  a.product = "Demo Oil One";
  const Id id = tell(day(2), a);
  tell(day(4), BedReleased{BedReleased::Basis::authority, "1", "letter"});
  EXPECT_EQ(garden(day(5)).locked_by("1"), nullptr);
  a.outside_label = true;
  tell(day(6), Amended{id, "rate was double", Saying{a}, std::nullopt});
  EXPECT_NE(garden(day(5)).locked_by("1"), nullptr);
}

TEST_F(Story, anUnjudgedApplicationWaitsUntilItIsJudged) {
  Application a;
  a.bed = "1";
  a.product = "Demo Oil One";
  a.not_judged = true;
  const Id id = tell(day(2), a);
  const auto now = [&] { return garden(day(5)); };
  EXPECT_TRUE(now().awaits_judgement(now().applications.front()));
  EXPECT_FALSE(now().outside_label(now().applications.front()));
  using Verdict = ApplicationJudged::Verdict;
  tell(day(2), ApplicationJudged{Verdict::within_label, id, "1", {}, ""});
  EXPECT_FALSE(now().awaits_judgement(now().applications.front()));
  EXPECT_EQ(now().locked_by("1"), nullptr);
  tell(day(3), Amended{id, "rate was double", Saying{a}, std::nullopt});
  EXPECT_TRUE(now().awaits_judgement(now().applications.front())) << "what was put right is judged again";
  tell(day(2), ApplicationJudged{Verdict::outside_label, id, "1", {}, "rate"});
  EXPECT_FALSE(now().awaits_judgement(now().applications.front()));
  EXPECT_NE(now().locked_by("1"), nullptr);
  EXPECT_EQ(garden(day(1)).locked_by("1"), nullptr) << "before it was made";
}

TEST_F(Story, aReleaseDoesNotCoverWhatWasJudgedAfterIt) {
  Application a;
  a.bed = "1";
  a.product = "Demo Oil One";
  a.not_judged = true;
  const Id id = tell(day(2), a);
  tell(day(3), BedReleased{BedReleased::Basis::authority, "1", "letter"});
  tell(day(2), ApplicationJudged{ApplicationJudged::Verdict::outside_label, id, "1", {}, "pre-harvest"});
  EXPECT_NE(garden(day(5)).locked_by("1"), nullptr) << "who released it didn't know it was outside the label";
  tell(day(4), BedReleased{BedReleased::Basis::authority, "1", "another letter"});
  EXPECT_EQ(garden(day(5)).locked_by("1"), nullptr);
}

TEST(Heading, AClockThatIsOffIsReadAsTheServersAndKeptAsItWas) {
  Heading h;
  h.happened_at = *Instant::parse("2026-06-01T15:00:00Z");
  EXPECT_EQ(h.at(), h.happened_at);
  h.clock_offset = Duration::hours(3);
  EXPECT_EQ(h.at().iso_utc(), "2026-06-01T12:00:00Z");
  h.clock_offset = Duration::minutes(-1);
  EXPECT_EQ(h.at().iso_utc(), "2026-06-01T15:01:00Z");
  h.clock_offset = Duration::seconds(59);
  EXPECT_EQ(h.at(), h.happened_at) << "a slow line is no wrong clock";
  EXPECT_EQ(h.happened_at.iso_utc(), "2026-06-01T15:00:00Z");
}

TEST(Heading, WhatHappenedIsOrderedByTheTimeThatIsRead) {
  const auto planted = [](std::size_t n, const char* when, std::optional<Duration> ahead) {
    return Recorded{n, {}, {{numbered_id(n), "phone", n, *Instant::parse(when), "", ahead}, PlantingRemoved{"kale-1"}}};
  };
  std::vector<Recorded> events{planted(2, "2026-06-01T18:00:00Z", Duration::hours(6)), planted(3, "2026-06-01T13:00:00Z", {})};
  events.push_back(
      {1,
       {},
       {{numbered_id(1), "shed", 1, *Instant::parse("2026-04-01T00:00:00Z"), ""}, PlantingSown{"kale-1", "1", "BRSOA", {}, {}, {}, {}}}});
  EXPECT_EQ(fold(events, *Instant::parse("2026-06-02T00:00:00Z")).planting("kale-1")->removed->iso_utc(), "2026-06-01T12:00:00Z");
  EXPECT_TRUE(fold(events, *Instant::parse("2026-06-01T12:30:00Z")).planting("kale-1")->removed) << "by the garden's clock it has happened";
}

}  // namespace
}  // namespace leafturn::garden::test
