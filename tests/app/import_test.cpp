#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "app/brief.hpp"
#include "app/import_garden.hpp"
#include "app/ledger_tools.hpp"
#include "app/record.hpp"
#include "io/event_json.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
const Instant now = Instant::parse("2026-11-01T12:00Z").value();

std::string small_garden(const std::string& name) {
  const std::string folder = test::fresh_folder(name);
  const auto write = [&](const char* file, const char* text) { std::ofstream(folder + "/" + file) << text; };
  write("garden.toml",
        "name = \"g\"\nlatitude = 43.0\nlongitude = -88.0\nzone = \"UTC\"\nunits = \"metric\"\njurisdiction = \"US\"\nsetting = "
        "\"agricultural\"\n");
  write("beds.csv", "bed,x_m,y_m,width_m,length_m\n1,0,0,1,8\n");
  write("plantings.csv", "planting,bed,crop,plants,set_out,first_harvest,last_harvest,removed\nkale,1,BRSOC,20,2026-04-01,,,\n");
  write("counts.csv", "time,bed,pest,stage,plants,count,by\n2026-06-01T18:00,1,PIERRA,larva,20,3,a\n");
  return folder;
}

TEST(Import, SecondTimeAddsOnlyWhatIsNew) {
  const std::string from = small_garden("import-from");
  const std::string into = test::fresh_folder("import-into") + "/g";
  const auto first = import_garden(from, into, now).value();
  EXPECT_EQ(first.had, 0U);
  const auto again = import_garden(from, into, now).value();
  EXPECT_EQ(again.events, 0U);
  EXPECT_EQ(again.had, first.events);
  EXPECT_EQ(again.head, first.head);
  std::ofstream(from + "/counts.csv", std::ios::app) << "2026-06-08T18:00,1,PIERRA,larva,20,5,a\n";
  EXPECT_EQ(import_garden(from, into, now).value().events, 1U);
}

TEST(Import, TwoPeopleWithTheSameCountAreTwoCounts) {
  const std::string from = small_garden("import-twice");
  std::ofstream(from + "/counts.csv", std::ios::app) << "2026-06-01T18:00,1,PIERRA,larva,20,3,a\n";
  const std::string into = test::fresh_folder("import-twice-into") + "/g";
  ASSERT_TRUE(import_garden(from, into, now));
  EXPECT_EQ(OpenGarden::open(into).value()->garden_at(now).value().counts.size(), 2U);
}

TEST(Import, BrokenFileWritesNothing) {
  const std::string from = small_garden("import-broken");
  std::ofstream(from + "/counts.csv", std::ios::app) << "2026-06-08T18:00,9,PIERRA,larva,20,5,a\n";
  const std::string into = test::fresh_folder("import-broken-into") + "/g";
  const auto report = import_garden(from, into, now);
  ASSERT_FALSE(report);
  EXPECT_EQ(report.error().where.line, 3);
  EXPECT_FALSE(fs::exists(into));
}

TEST(Import, SprayTheCardRefusesIsOutsideItsLabel) {
  const std::string from = small_garden("import-outside");
  fs::create_directories(from + "/cards");
  std::ofstream(from + "/cards/spin.toml") << R"([card]
product = "Test Spin"
setting = "both"
[[use]]
crops = ["BRSOC"]
rate = { min = "1 floz/gal", max = "2 floz/gal" }
pre_harvest_days = 3
reentry_hours = 12
interval_days = 7
max_applications = 3
)";
  std::ofstream(from + "/actions.csv") << "time,bed,action,product,rate,detail\n"
                                          "2026-06-01,1,spray,Test Spin,2 floz/gal,\n"
                                          "2026-06-12,1,spray,test spin,2 floz/gal,\n"
                                          "2026-06-15,1,spray,Test Spin,2 floz/gal,three days later\n"
                                          "2026-07-15,1,spray,Test Spin,1 qt/gal,eight times the rate\n";
  const std::string into = test::fresh_folder("import-outside-into") + "/g";
  EXPECT_EQ(import_garden(from, into, now).value().outside_label, 2U);
  std::vector<bool> outside;
  const garden::Garden state = OpenGarden::open(into).value()->garden_at(now).value();
  for (const auto& a : state.applications) outside.push_back(a.what.outside_label);
  EXPECT_EQ(outside, (std::vector<bool>{false, false, true, true}));
  EXPECT_EQ(import_garden(from, into, now).value().events, 0U);
}

TEST(Import, ExportedLedgerImportsElsewhereWithTheSameBytes) {
  const std::string into = test::fresh_folder("export-from") + "/g";
  ASSERT_TRUE(make_demo(into, now));
  std::string lines;
  ASSERT_TRUE(export_ledger(into, [&](std::string_view line) { (lines += line) += '\n'; }));
  const std::string other = test::fresh_folder("export-into") + "/g";
  const auto imported = import_events(other, lines, now).value();
  EXPECT_EQ(imported.appended, verify_ledger(into, {}).value().events);
  std::string again;
  ASSERT_TRUE(export_ledger(other, [&](std::string_view line) { (again += line) += '\n'; }));
  EXPECT_EQ(verify_ledger(other, {}).value().head.hex().size(), 64U);
  EXPECT_TRUE(verify_ledger(other, {}).value().intact);
  EXPECT_EQ(import_events(other, lines, now).value().had, imported.appended);
  EXPECT_TRUE(brief(*OpenGarden::open(other).value(), {}, now)) << "cards and weather came along";
  const auto at = lines.find("azadirachtin");
  lines.replace(at, 4, "xxxx");
  EXPECT_EQ(import_events(test::fresh_folder("export-changed") + "/g", lines, now).error().code, "ledger.text_changed");
}

TEST(Import, AnotherGardensEventsAreRefusedWhole) {
  const std::string one = test::fresh_folder("strangers-one") + "/g";
  const std::string other = test::fresh_folder("strangers-other") + "/g";
  ASSERT_TRUE(import_garden(small_garden("strangers-from"), one, now));
  ASSERT_TRUE(make_demo(other, now));
  std::string lines;
  ASSERT_TRUE(export_ledger(other, [&](std::string_view line) { lines += std::string(line) + "\n"; }));
  const auto head = verify_ledger(one, {}).value().head;
  const auto mixed = import_events(one, lines, now);
  ASSERT_FALSE(mixed);
  EXPECT_EQ(mixed.error().code, "ledger.another_garden");
  EXPECT_EQ(verify_ledger(one, {}).value().head, head);
  EXPECT_TRUE(import_events(other, lines, now)) << "its own";
}

TEST(Demo, IsInterestingOnItsOwnDayAndMarkedInvented) {
  const std::string folder = test::fresh_folder("demo") + "/g";
  ASSERT_TRUE(make_demo(folder, now));
  auto garden = OpenGarden::open(folder).value();
  const auto answer = brief(*garden, {}, now).value();
  EXPECT_EQ(answer.brief.day.iso(), "2026-06-11");
  EXPECT_TRUE(answer.brief.marked);
  EXPECT_EQ(answer.brief.beds.size(), 12U);
  EXPECT_EQ(answer.brief.walk.size(), 3U);
  std::size_t act = 0;
  std::size_t held = 0;
  for (const auto& b : answer.brief.beds) {
    act += b.urgency == decision::Urgency::act ? 1 : 0;
    held += b.harvest.clear ? 0 : 1;
  }
  EXPECT_GE(act, 2U);
  EXPECT_GE(held, 1U);
  EXPECT_FALSE(make_demo(folder, now)) << "a folder that holds a garden is not overwritten";
}

class Recording : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = test::fresh_folder(std::string("record-") + testing::UnitTest::GetInstance()->current_test_info()->name()) + "/g";
    ASSERT_TRUE(make_demo(folder_, now));
    garden_ = OpenGarden::open(folder_).value();
    const garden::Garden state = garden_->garden_at(now).value();
    for (const auto& c : state.cards) cards_[c.what.product] = c.what.text;
  }
  garden::Application spray(const char* bed, const char* product, const char* rate, garden::Application::State state) {
    garden::Application a;
    a.state = state;
    a.bed = bed;
    a.product = product;
    a.rate = rate;
    if (cards_.contains(product)) a.card = cards_.at(product);
    return a;
  }
  std::uint64_t events() { return garden_->ledger().last_seq().value(); }
  static Instant at(const char* iso) { return Instant::parse(iso).value(); }

  std::string folder_;
  std::unique_ptr<OpenGarden> garden_;
  std::map<std::string, Digest> cards_;
};

TEST_F(Recording, PlanThatTheCardRefusesIsNeverWritten) {
  const auto before = events();
  const auto day = at("2026-06-11T23:00Z");
  const auto refused =
      record_saying(*garden_, spray("9", "Demo Oil One", "1 floz/gal", garden::Application::State::planned), "test", "lead", day, day);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "treat.refused");
  auto outside = spray("9", "Demo Oil One", "1 floz/gal", garden::Application::State::planned);
  outside.outside_label = true;
  EXPECT_FALSE(record_saying(*garden_, outside, "test", "lead", day, day)) << "a plan can't be outside the label";
  EXPECT_EQ(events(), before);
}

TEST_F(Recording, UnknownFieldIsNotPermission) {
  const auto day = at("2026-06-11T23:00Z");
  const auto unknown =
      record_saying(*garden_, spray("1", "Demo Cat Three", "1 tsp/gal", garden::Application::State::made), "test", "lead", day, day);
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, "treat.unknown");
}

TEST_F(Recording, SprayAlreadyMadeIsRecordableOutsideItsLabelAndLocksTheBed) {
  const auto day = at("2026-06-11T23:00Z");
  auto made = spray("9", "Demo Oil One", "1 floz/gal", garden::Application::State::made);
  made.outside_label = true;
  ASSERT_TRUE(record_saying(*garden_, made, "test", "lead", day, day));
  const auto answer = brief(*garden_, day + Duration::hours(24 * 30), now).value();
  EXPECT_EQ(answer.brief.beds.front().bed, "9");
  EXPECT_EQ(answer.brief.beds.front().urgency, decision::Urgency::lock);
}

TEST_F(Recording, AllowedSprayHoldsHarvestAndCountsTowardsTheInterval) {
  const auto day = at("2026-06-11T23:00Z");
  const auto made =
      record_saying(*garden_, spray("1", "Demo Spin Two", "1 floz/gal", garden::Application::State::made), "test", "lead", day, day);
  ASSERT_TRUE(made) << made.error().code;
  EXPECT_EQ(made->judgement->verdict, label::Verdict::conditional);
  const auto too_soon = may_treat(*garden_, {"1", "Demo Spin Two", "1 floz/gal", day + Duration::hours(72)}).value();
  EXPECT_EQ(too_soon.plantings.front().judgement.verdict, label::Verdict::refused);
}

TEST_F(Recording, SameBytesTwiceGiveTheSameReceipt) {
  const auto day = at("2026-06-11T23:00Z");
  const garden::Event event{{Id::version7(1781000000000, {1, 2, 3}), "phone", 1, day, "scout"},
                            garden::CountTaken{"1", "PIERRA", "larva", 20, 4}};
  const std::string bytes = io::encode_event(event);
  const auto first = record(*garden_, bytes, day).value();
  const auto second = record(*garden_, bytes, day).value();
  EXPECT_EQ(first.receipt.seq, second.receipt.seq);
  EXPECT_EQ(first.receipt.link, second.receipt.link);
  EXPECT_EQ(second.receipt.kind, store::Receipt::Kind::had_it);
}

TEST_F(Recording, ImpossibleCountsChangeNothing) {
  const auto before = events();
  const auto day = at("2026-06-11T23:00Z");
  for (const auto& count : {garden::CountTaken{"1", "PIERRA", "larva", 0, 4}, garden::CountTaken{"1", "PIERRA", "larva", 20, -1},
                            garden::CountTaken{"99", "PIERRA", "larva", 20, 1}, garden::CountTaken{"12", "PIERRA", "larva", 20, 1}})
    EXPECT_FALSE(record_saying(*garden_, count, "test", "scout", day, day));
  EXPECT_FALSE(record_saying(*garden_, garden::CountTaken{"1", "PIERRA", "larva", 20, 1}, "test", "scout", day + Duration::hours(48), day));
  EXPECT_FALSE(record(*garden_, "not an event", day));
  EXPECT_EQ(events(), before);
}

}  // namespace
}  // namespace leafturn::app
