// Impossible, contradictory and missing things through the program: each is answered, none silently taken.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

class Contradictions : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fresh_folder(std::string("contradictions-") + testing::UnitTest::GetInstance()->current_test_info()->name());
    garden_ = folder_ + "/garden";
    fs::copy(source_path("demo"), folder_ + "/files", fs::copy_options::recursive);
  }
  using Done = test::Run;  // gtest's own Run() hides it
  static Done run(std::vector<std::string> words) {
    words.insert(words.begin(), {"--lang", "en"});
    return run_program(LEAFTURN_PROGRAM, words);
  }
  void file(const std::string& name, const std::string& text) { std::ofstream(folder_ + "/files/" + name, std::ios::binary) << text; }
  Done import() { return run({"garden", "import", folder_ + "/files", "--into", garden_}); }
  void refused(const Done& run, const std::string& what) {
    EXPECT_EQ(run.exit_code, 2) << run.out;
    EXPECT_TRUE(run.out.empty());
    EXPECT_NE(run.err.find(what), std::string::npos) << run.err;
    EXPECT_EQ(run.err.find("⟦"), std::string::npos) << run.err;
  }
  Done count(const std::string& bed, const std::string& pest, const std::string& stage, const std::string& plants,
             const std::string& number, const std::string& at = "2026-06-10T07:00") {
    return run(
        {"count", "--garden", garden_, "--bed", bed, "--pest", pest, "--stage", stage, "--plants", plants, "--count", number, "--at", at});
  }

  std::string folder_, garden_;
};

constexpr const char* counts_head = "time,bed,pest,stage,plants,count,by\n";
constexpr const char* actions_head = "time,bed,action,product,rate,detail\n";

TEST_F(Contradictions, counts_that_cannot_be) {
  ASSERT_EQ(import().exit_code, 0);
  refused(count("1", "PIERRA", "larva", "0", "3"), "--plants");
  refused(count("1", "PIERRA", "larva", "20", "-3"), "--count");
  refused(count("1", "PIERRA", "larva", "41", "3"), "can't be right");
  refused(count("1", "PIERRA", "larva", "2.5", "3"), "--plants");
  refused(count("nowhere", "PIERRA", "larva", "20", "3"), "no bed");
  refused(count("1", "dragon", "larva", "20", "3"), "dragon");
  refused(count("1", "PIERRA", "nymph", "20", "3"), "nymph");
  refused(count("1", "PIERRA", "larva", "20", "3", "2026-02-01T07:00"), "plant");
  refused(count("12", "PIERRA", "larva", "20", "3"), "nothing stood");
  refused(count("1", "PIERRA", "larva", "20", "3", "2199-06-10T07:00"), "clock");
}

TEST_F(Contradictions, a_planting_is_removed_once) {
  ASSERT_EQ(import().exit_code, 0);
  ASSERT_EQ(run({"planting", "remove", "--garden", garden_, "--planting", "kale-spring", "--at", "2026-06-05T09:00"}).exit_code, 0);
  refused(run({"planting", "remove", "--garden", garden_, "--planting", "kale-spring", "--at", "2026-06-09T09:00"}), "kale-spring");
  refused(run({"planting", "remove", "--garden", garden_, "--planting", "radish-1", "--at", "2026-06-09T09:00"}), "radish-1");
  refused(count("1", "PIERRA", "larva", "20", "3"), "nothing stood");
}

TEST_F(Contradictions, a_pulled_bed_is_empty) {
  file("actions.csv", std::string(actions_head) + "2026-06-01T09:00,2,pull,,,\n");
  file("counts.csv", std::string(counts_head) + "2026-06-01T12:00,2,PIERRA,larva,20,4,a\n2026-06-02T07:00,2,PIERRA,larva,20,4,a\n");
  const Done later = import();
  refused(later, "nothing");
  EXPECT_NE(later.err.find("line 3"), std::string::npos) << later.err;
  file("plantings.csv",
       "planting,bed,crop,plants,set_out,first_harvest,last_harvest,removed\nbroccoli,2,BRSOK,24,2026-04-12,,,\n"
       "kale-next,2,BRSOC,24,2026-06-01,,,\n");
  EXPECT_EQ(import().exit_code, 0) << "what was set out that day came after it";
}

TEST_F(Contradictions, what_was_pulled_does_not_stand_on) {
  file("actions.csv", std::string(actions_head) + "2026-05-20T09:00,12,pull,,,\n");
  const Done done = import();
  refused(done, "radish-1 stood there until");
  EXPECT_NE(done.err.find("actions.csv, line 2"), std::string::npos) << done.err;
  file("actions.csv", std::string(actions_head) + "2026-05-30T09:00,12,pull,,,\n");
  EXPECT_EQ(import().exit_code, 0) << "one deed told twice";
}

TEST_F(Contradictions, what_is_left_out_is_named) {
  file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,8,PIERRA,larva,20,3,a\n");
  file("notes.csv", "a,b\n1,2\n");
  const Done done = import();
  EXPECT_EQ(done.exit_code, 0) << done.err;
  EXPECT_NE(done.err.find("notes.csv isn't one of a garden's files"), std::string::npos) << done.err;
  EXPECT_NE(done.err.find("counts.csv, line 2: nothing that imported cabbageworm lives on stands in bed 8"), std::string::npos) << done.err;
  const Done seen = run({"outlook", "--garden", garden_});
  EXPECT_NE(seen.out.find("was left out: nothing this pest lives on stood there"), std::string::npos) << seen.out;
}

TEST_F(Contradictions, rows_of_days_to_come_are_named) {
  file("garden.toml",
       "name = \"test\"\nlatitude = 40.0\nlongitude = -95.0\nzone = \"America/Chicago\"\nunits = \"us\"\njurisdiction = \"US\"\n");
  file("counts.csv", std::string(counts_head) + "2190-06-01T07:00,1,PIERRA,larva,20,3,a\n");
  const Done done = import();
  EXPECT_EQ(done.exit_code, 0) << done.err;
  EXPECT_NE(done.err.find("counts.csv: 1 line is dated after today"), std::string::npos) << done.err;
}

TEST_F(Contradictions, missing_weather_is_told_by_its_days) {
  std::string station = read_file(source_path("demo/weather/station.csv"));
  // Ten days of May are lost.
  const auto from = station.find("2026-05-10,");
  const auto to = station.find("2026-05-20,");
  ASSERT_NE(from, std::string::npos);
  ASSERT_NE(to, std::string::npos);
  file("weather/station.csv", station.erase(from, to - from));
  ASSERT_EQ(import().exit_code, 0);
  const json outlook = json::parse(run({"outlook", "--garden", garden_, "--json"}).out);
  ASSERT_EQ(outlook["weather"]["gaps"].size(), 1U);
  EXPECT_EQ(outlook["weather"]["gaps"][0]["first"], "2026-05-10");
  EXPECT_EQ(outlook["weather"]["gaps"][0]["days"], 10);
  bool told = false;
  for (const auto& note : outlook["notes"]) told = told || note["code"] == "note.gap";
  EXPECT_TRUE(told);
  EXPECT_NE(run({"outlook", "--garden", garden_}).out.find("Weather is missing from"), std::string::npos);
}

}  // namespace
}  // namespace leafturn::test
