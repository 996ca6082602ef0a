// `outlook` through the program: the contract's keys, counts not yet taken, and what it does with what can't be used.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/cli/answers.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

void write(const fs::path& path, const std::string& text) {
  fs::create_directories(path.parent_path());
  std::ofstream(path, std::ios::binary) << text;
}

/// A garden of files in a fresh folder; `import` makes it a ledger.
class Garden {
 public:
  explicit Garden(const std::string& name) : folder_{fresh_folder("outlook-" + name)} {
    file("garden.toml",
         "name = \"test\"\nlatitude = 40.0\nlongitude = -95.0\nzone = \"America/Chicago\"\nunits = \"metric\"\njurisdiction = \"other\"\n");
    file("beds.csv", "bed,x_m,y_m,width_m,length_m\n1,0,0,1,8\n2,2,0,1,8\n3,4,0,1,8\n");
    file("plantings.csv",
         "planting,bed,crop,plants,set_out,first_harvest,last_harvest,removed\nkale,1,BRSOC,40,2026-04-08,,,\n"
         "broccoli,2,BRSOK,24,2026-04-12,,,\ntomato,3,LYPES,20,2026-05-01,,,\n");
    fs::create_directories(folder_ + "/files/weather");
    for (const auto& entry : fs::directory_iterator(source_path("demo/weather")))
      fs::copy(entry.path(), folder_ + "/files/weather/" + entry.path().filename().string());
  }
  void file(const std::string& name, const std::string& text) { write(folder_ + "/files/" + name, text); }
  std::string beside(const std::string& name, const std::string& text) {
    write(folder_ + "/" + name, text);
    return folder_ + "/" + name;
  }
  void without_weather() { fs::remove_all(folder_ + "/files/weather"); }
  Run import() { return leafturn({"garden", "import", folder_ + "/files", "--into", path()}); }
  std::string path() const { return folder_ + "/garden"; }

 private:
  std::string folder_;
};

constexpr const char* counts_head = "time,bed,pest,stage,plants,count,by\n";
constexpr const char* asks_head = "time,bed,pest,stage,plants\n";

const json* pest_in(const json& outlook, const std::string& bed, const std::string& pest) {
  for (const auto& b : outlook.at("beds"))
    if (b.at("bed") == bed)
      for (const auto& p : b.at("pests"))
        if (p.at("pest") == pest) return &p;
  return nullptr;
}

TEST(Outlook, answers_in_the_contracts_keys) {
  Garden garden("keys");
  garden.file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,1,PIERRA,larva,20,3,a\n2026-06-08T07:00,1,PIERRA,larva,20,9,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const json outlook = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30", "--days", "5"});
  EXPECT_EQ(outlook["at"], "2026-06-09T06:30:00-05:00");
  EXPECT_EQ(outlook["beds"].size(), 3U);
  EXPECT_FALSE(outlook.contains("asks"));
  const json* here = pest_in(outlook, "1", "imported-cabbageworm");
  ASSERT_NE(here, nullptr);
  EXPECT_EQ((*here)["basis"], "timing");
  EXPECT_EQ((*here)["counts"], 2);
  ASSERT_EQ((*here)["days"].size(), 6U) << "today and five more";
  EXPECT_EQ((*here)["days"][0]["date"], "2026-06-09");
  for (const auto& day : (*here)["days"]) {
    ASSERT_TRUE(day["p_over"].is_number());
    EXPECT_GE(day["p_over"].get<double>(), 0.0);
    EXPECT_LE(day["p_over"].get<double>(), 1.0);
    for (const char* stage : {"egg", "larva", "pupa", "adult"}) {
      const auto& s = day["stages"].at(stage);
      double below = 0.0;
      for (const char* level : {"p025", "p05", "p25", "p50", "p75", "p95", "p975"}) {
        EXPECT_GE(s.at(level).get<double>(), below) << stage << " " << level;
        below = s.at(level).get<double>();
      }
      EXPECT_GT(s.at("mean").get<double>(), 0.0);
    }
  }
  // The count said about half a larva a plant the day before.
  const auto& today = (*here)["days"][0]["stages"]["larva"];
  EXPECT_LT(today["p05"].get<double>(), 0.8);
  EXPECT_GT(today["p95"].get<double>(), 0.3);
  // Broccoli has a host and no count of its own: less is known of it.
  const json* beside = pest_in(outlook, "2", "imported-cabbageworm");
  ASSERT_NE(beside, nullptr);
  EXPECT_EQ((*beside)["counts"], 0);
  const auto spread = [](const json& p) {
    const auto& s = p["days"][0]["stages"]["larva"];
    return std::log(s["p95"].get<double>() / s["p05"].get<double>());
  };
  EXPECT_GT(spread(*beside), spread(*here));
  EXPECT_GE((*beside)["not_learned"].size(), (*here)["not_learned"].size());
  double all = 0.0;
  for (const auto& [way, share] : (*here)["movement"].items()) all += share.get<double>();
  EXPECT_NEAR(all, 1.0, 1e-9);
  EXPECT_EQ(pest_in(outlook, "3", "imported-cabbageworm"), nullptr) << "no host";
  EXPECT_EQ(outlook["pests"][0]["gate"]["code"], "gate.too_few");
  EXPECT_EQ(outlook["pests"][0]["gate"]["counts"], 1) << "the first has nothing before it";
  bool named = false;
  for (const auto& p : outlook["not_counted"]) named = named || p["pest"] == "diamondback-moth";
  EXPECT_TRUE(named);
}

TEST(Outlook, the_same_question_has_the_same_bytes) {
  Garden garden("bytes");
  garden.file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,1,PIERRA,larva,20,3,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const std::vector<std::string> words = {"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30", "--json"};
  const auto once = leafturn(words);
  EXPECT_EQ(once.exit_code, 0) << once.err;
  EXPECT_TRUE(once.out == leafturn(words).out);
}

// FNV-1a, 64 bits.
std::uint64_t digest(const std::string& bytes) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return hash;
}

// The suite runs on the program as `dev` and as `release` builds it: one number for both, so the whole way from weather and counts through
// the filter to what is printed gives the same bytes in each. It changes with the model; then put in what both builds say.
TEST(Outlook, dev_and_release_give_the_same_bytes) {
  Garden garden("builds");
  garden.file("counts.csv", std::string(counts_head) +
                                "2026-05-25T07:00,1,PIERRA,larva,20,5,a\n2026-06-01T07:00,1,PIERRA,larva,20,8,a\n"
                                "2026-06-01T07:00,2,PIERRA,egg,20,14,a\n2026-06-08T07:00,1,PIERRA,larva,20,11,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const std::string asks = garden.beside("asks.csv", std::string(asks_head) +
                                                         "2026-06-10T07:00,1,PIERRA,larva,20\n2026-06-20T07:00,2,PIERRA,larva,20\n"
                                                         "2026-06-15T07:00,1,PIERRA,adult,20\n");
  const json outlook = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30", "--ask", asks});
  EXPECT_EQ(digest(outlook["asks"].dump() + outlook["beds"].dump()), 9719503406596174948ULL);
}

TEST(Outlook, a_count_not_yet_taken_is_a_distribution) {
  Garden garden("asks");
  garden.file("counts.csv", std::string(counts_head) +
                                "2026-05-25T07:00,1,PIERRA,larva,20,5,a\n2026-06-01T07:00,1,PIERRA,larva,20,8,a\n"
                                "2026-06-08T07:00,1,PIERRA,larva,20,11,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const std::string asks = garden.beside("asks.csv", std::string(asks_head) +
                                                         "2026-06-10T07:00,1,PIERRA,larva,20\n2026-07-08T07:00,1,PIERRA,larva,20\n"
                                                         "2026-06-10T07:00,2,PIERRA,larva,20\n2026-06-12,1,PLUTMA,larva,10\n"
                                                         "2026-06-10T12:00Z,1,PIERRA,larva,40\n");
  const json outlook = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30", "--ask", asks});
  ASSERT_EQ(outlook["asks"].size(), 5U);
  for (const auto& ask : outlook["asks"]) {
    ASSERT_EQ(ask["crps_samples"].size(), 100U);
    std::int64_t below = 0;
    std::size_t none = 0;
    for (const auto& n : ask["crps_samples"]) {
      ASSERT_TRUE(n.is_number_integer());
      EXPECT_GE(n.get<std::int64_t>(), below);
      below = n.get<std::int64_t>();
      none += below == 0 ? 1 : 0;
    }
    EXPECT_NEAR(static_cast<double>(none) / 100.0, ask["p_zero"].get<double>(), 0.011);
    EXPECT_GE(ask["quantiles"]["0.975"], ask["quantiles"]["0.025"]);
    EXPECT_GT(ask["mean"].get<double>(), 0.0);
  }
  const auto& soon = outlook["asks"][0];
  EXPECT_EQ(soon["time"], "2026-06-10T07:00:00-05:00");
  EXPECT_EQ(soon["bed"], "1");
  EXPECT_EQ(soon["pest"], "PIERRA") << "as asked";
  EXPECT_EQ(soon["id"], "imported-cabbageworm");
  EXPECT_EQ(soon["stage"], "larva");
  EXPECT_EQ(soon["plants"], 20);
  EXPECT_EQ(soon["basis"], "timing");
  // Eleven were found on twenty plants two days before.
  EXPECT_LE(soon["quantiles"]["0.025"].get<double>(), 11.0);
  EXPECT_GE(soon["quantiles"]["0.975"].get<double>(), 11.0);
  EXPECT_LT(soon["quantiles"]["0.975"].get<double>(), 80.0);
  // A bed never counted is less known, and so is a pest nobody has counted.
  const auto width = [](const json& ask) { return ask["quantiles"]["0.975"].get<double>() - ask["quantiles"]["0.025"].get<double>(); };
  EXPECT_GT(width(outlook["asks"][2]) / outlook["asks"][2]["mean"].get<double>(), width(soon) / soon["mean"].get<double>());
  EXPECT_EQ(outlook["asks"][3]["garden_counts"], 0);
  EXPECT_GT(outlook["asks"][3]["sd"].get<double>(), outlook["asks"][3]["mean"].get<double>()) << "wide";
  // The same time on twice the plants finds twice as many (but a surge is a little less of a surprise where more are expected).
  EXPECT_NEAR(outlook["asks"][4]["mean"].get<double>() / soon["mean"].get<double>(), 2.0, 0.02);
  EXPECT_EQ(pest_in(outlook, "1", "diamondback-moth"), nullptr) << "asked about, but no numbers for the beds";
}

TEST(Outlook, a_row_that_cannot_be_answered_refuses_the_file) {
  Garden garden("refused");
  garden.file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,1,PIERRA,larva,20,3,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const auto refused = [&](const std::string& row, const std::string& what, const std::string& field) {
    const std::string asks = garden.beside("asks.csv", std::string(asks_head) + "2026-06-10T07:00,1,PIERRA,larva,20\n" + row + "\n");
    const auto run = leafturn({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30", "--ask", asks, "--json"});
    EXPECT_EQ(run.exit_code, 2) << row;
    EXPECT_TRUE(run.out.empty()) << row;
    EXPECT_NE(run.err.find(what), std::string::npos) << row << "\n" << run.err;
    EXPECT_NE(run.err.find("line 3"), std::string::npos) << run.err;
    EXPECT_NE(run.err.find(field), std::string::npos) << run.err;
    EXPECT_EQ(run.err.find("⟦"), std::string::npos) << run.err;
  };
  refused("2026-06-10T07:00,9,PIERRA,larva,20", "there is no bed 9", "bed");
  refused("2026-06-09T06:00,1,PIERRA,larva,20", "before", "time");
  refused("2026-07-20T06:00,1,PIERRA,larva,20", "30 days", "time");
  refused("2026-06-10T07:00,3,PIERRA,larva,20", "nothing that imported cabbageworm lives on", "bed");
  refused("2026-06-10T07:00,1,PIERRA,larva,41", "only 40 plants", "plants");
  refused("2026-06-10T07:00,1,PIERRA,larva,0", "can't be right", "plants");
  refused("2026-06-10T07:00,1,PIERRA,claw,20", "is no stage", "stage");
  refused("2026-06-10T07:00,1,dragon,larva,20", "no pest is called", "pest");
  refused("whenever,1,PIERRA,larva,20", "is not a time", "time");
  const auto missing = leafturn({"outlook", "--garden", garden.path(), "--ask", "nowhere.csv"});
  EXPECT_EQ(missing.exit_code, 2) << missing.err;
  for (const char* days : {"0", "31", "-1", "many", "2.5"})
    EXPECT_EQ(leafturn({"outlook", "--garden", garden.path(), "--days", days}).exit_code, 2) << days;
}

TEST(Outlook, a_count_where_no_host_stood_is_shown_as_left_out) {
  Garden garden("no-host");
  // Cabbageworms counted on tomatoes: something stood there, so the record keeps it.
  garden.file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,3,PIERRA,larva,20,3,a\n2026-06-02T07:00,1,PIERRA,larva,20,2,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const json outlook = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  ASSERT_EQ(outlook["pests"].size(), 1U);
  EXPECT_EQ(outlook["pests"][0]["counts"], 1);
  ASSERT_EQ(outlook["pests"][0]["left_out"].size(), 1U);
  EXPECT_EQ(outlook["pests"][0]["left_out"][0]["code"], "population.count_without_host");
  const auto text = leafturn({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  EXPECT_NE(text.out.find("was left out"), std::string::npos) << text.out;
  EXPECT_EQ(text.out.find("⟦"), std::string::npos) << text.out;
  const auto spanish = run_program(LEAFTURN_PROGRAM, {"--lang", "es", "outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  EXPECT_EQ(spanish.out.find("⟦"), std::string::npos) << spanish.out;
  EXPECT_NE(spanish.out.find("quedó fuera"), std::string::npos) << spanish.out;
}

TEST(Outlook, without_weather_it_says_so) {
  Garden garden("no-weather");
  garden.without_weather();
  garden.file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,1,PIERRA,larva,20,3,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  const json outlook = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  EXPECT_EQ(outlook["no_numbers"]["code"], "outlook.no_weather");
  EXPECT_TRUE(outlook["pests"].empty());
  const std::string asks = garden.beside("asks.csv", std::string(asks_head) + "2026-06-10T07:00,1,PIERRA,larva,20\n");
  const auto run = leafturn({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30", "--ask", asks});
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_NE(run.err.find("weather"), std::string::npos) << run.err;
}

TEST(Outlook, a_brief_rests_on_learned_numbers_once_they_beat_the_carried_count) {
  // As many eggs every four days: those counted before are hatching, which is all a carried count knows; that moths lay on, it doesn't.
  Garden garden("seat");
  std::string counts = counts_head;
  for (const char* day : {"2026-05-10", "2026-05-14", "2026-05-18", "2026-05-22", "2026-05-26", "2026-05-30", "2026-06-03", "2026-06-07"})
    for (const char* bed : {"1", "2"}) counts += std::string(day) + "T07:00," + bed + ",PIERRA,egg,20,21,a\n";
  garden.file("counts.csv", counts);
  ASSERT_EQ(garden.import().exit_code, 0);
  const json outlook = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  const auto& gate = outlook["pests"][0]["gate"];
  EXPECT_EQ(gate["code"], "gate.passed") << gate;
  EXPECT_EQ(gate["counts"], 10) << "where none of the eggs counted before can be left, there is nothing to beat";
  EXPECT_EQ(gate["walks"], 5);
  EXPECT_GT(gate["gain"].get<double>(), 0.0);
  const json brief = answer({"brief", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  int seen = 0;
  for (const auto& bed : brief["beds"])
    for (const auto& p : bed["pests"]) {
      const json* same = pest_in(outlook, bed["bed"], p["pest"]);
      EXPECT_EQ(p["basis"], same != nullptr ? (*same)["basis"] : json("timing")) << p["pest"];
      if (p["basis"] != "population") continue;
      ++seen;
      const auto& today = (*same)["days"][0]["counted"];
      EXPECT_NEAR(p["density"]["mean"].get<double>() / today["mean"].get<double>(), 1.0, 1e-3);
      EXPECT_NEAR(p["density"]["p95"].get<double>() / today["p95"].get<double>(), 1.0, 1e-3);
      EXPECT_NEAR(p["p_over"].get<double>(), (*same)["days"][0]["p_over"].get<double>(), 1e-9);
    }
  EXPECT_EQ(seen, 2);
  EXPECT_NE(leafturn({"brief", "--garden", garden.path(), "--at", "2026-06-09T06:30"}).out.find("learned from"), std::string::npos);
  EXPECT_NE(brief["basis_text"].get<std::string>().find("imported cabbageworm"), std::string::npos) << brief["basis_text"];
  // Three weeks earlier there was too little to go by.
  const json early = answer({"outlook", "--garden", garden.path(), "--at", "2026-05-17T06:30"});
  EXPECT_EQ(early["pests"][0]["gate"]["code"], "gate.too_few");
}

TEST(Outlook, nothing_later_than_asked_about_is_used) {
  Garden garden("later");
  garden.file("counts.csv",
              std::string(counts_head) + "2026-06-01T07:00,1,PIERRA,larva,20,3,a\n2026-06-12T07:00,1,PIERRA,larva,20,300,a\n");
  ASSERT_EQ(garden.import().exit_code, 0);
  Garden before("later-without");
  before.file("counts.csv", std::string(counts_head) + "2026-06-01T07:00,1,PIERRA,larva,20,3,a\n");
  ASSERT_EQ(before.import().exit_code, 0);
  const json with = answer({"outlook", "--garden", garden.path(), "--at", "2026-06-09T06:30"});
  const json without = answer({"outlook", "--garden", before.path(), "--at", "2026-06-09T06:30"});
  EXPECT_TRUE(with == without);
}

}  // namespace
}  // namespace leafturn::test
