// weather fetch and weather add through the whole program: one JSON value, exit codes, sentences in both languages.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/fetch/server/bad_server.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

using fetch::Asked;
using fetch::BadServer;
using fetch::Connection;
using nlohmann::json;

const std::string csv = "date,tmin_c,tmax_c\n2026-05-01,5,15\n2026-05-02,6,16\n";

class WeatherFetch : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fresh_folder(std::string("cli-fetch-") + testing::UnitTest::GetInstance()->current_test_info()->name());
    garden_ = folder_ + "/garden";
    ASSERT_EQ(run_program(LEAFTURN_PROGRAM, {"demo", garden_}).exit_code, 0);
    before_ = exported();
  }
  std::string exported() { return run_program(LEAFTURN_PROGRAM, {"ledger", "export", "--garden", garden_}).out; }
  test::Run fetch(std::vector<std::string> words, const char* language = "en") {
    words.insert(words.begin(), {"--lang", language, "weather", "fetch"});
    words.insert(words.end(), {"--garden", garden_});
    return run_program(LEAFTURN_PROGRAM, words);
  }
  std::string folder_, garden_, before_;
};

TEST_F(WeatherFetch, adds_once_and_says_so) {
  const BadServer server([](Connection& c, const Asked& asked, int) {
    if (asked.header("if-none-match") == "\"one\"") return c.answer(304, "");
    c.answer(200, csv, "Content-Type: text/csv\r\nETag: \"one\"\r\n");
  });
  const auto first = fetch({server.url("/a.csv?key=secret"), "--name", "nearby", "--contact", "you@example.org", "--by", "lead", "--json"});
  ASSERT_EQ(first.exit_code, 0) << first.err;
  const json added = json::parse(first.out);
  EXPECT_EQ(added["name"], "nearby");
  EXPECT_EQ(added["appended"], true);
  EXPECT_EQ(added["unchanged"], false);
  EXPECT_EQ(added["days"], 2);
  EXPECT_EQ(added["first"], "2026-05-01");
  EXPECT_EQ(added["last"], "2026-05-02");
  EXPECT_TRUE(added["issued"].is_null());
  EXPECT_TRUE(added["stale_since"].is_null());
  EXPECT_EQ(added["receipt"]["kind"], "appended");
  EXPECT_EQ(added["address"], server.url("/a.csv?…"));
  const std::string after = exported();
  EXPECT_NE(after, before_);
  EXPECT_EQ(after.find("secret"), std::string::npos);

  const auto again = fetch({server.url("/a.csv?key=secret"), "--name", "nearby"});
  EXPECT_EQ(again.exit_code, 0);
  EXPECT_NE(again.out.find("Unchanged"), std::string::npos) << again.out;
  EXPECT_NE(again.out.find("nothing was written"), std::string::npos) << again.out;
  const auto spanish = fetch({server.url("/a.csv?key=secret"), "--name", "nearby"}, "es");
  EXPECT_NE(spanish.out.find("Sin cambios"), std::string::npos) << spanish.out;
  EXPECT_EQ(spanish.out.find("⟦"), std::string::npos) << spanish.out;
  EXPECT_EQ(exported(), after);
  const auto asked = server.asked();
  ASSERT_EQ(asked.size(), 3U);
  EXPECT_NE(asked[0].header("user-agent").find("(you@example.org)"), std::string::npos);
}

TEST_F(WeatherFetch, could_not_is_3_and_wrong_use_is_2) {
  const BadServer server([](Connection& c, const Asked& asked, int) {
    if (asked.line.find("/page") != std::string::npos) return c.answer(200, "<html></html>", "Content-Type: text/html\r\n");
    if (asked.line.find("/none") != std::string::npos) return c.answer(404, "");
    c.answer(200, "date,tmin_c,tmax_c\n2026-05-01,25,15\n");
  });
  const auto refused = [&](const test::Run& run, int exit_code) {
    EXPECT_EQ(run.exit_code, exit_code) << run.err;
    EXPECT_TRUE(run.out.empty());
    EXPECT_EQ(run.err.rfind("leafturn: ", 0), 0U) << run.err;
    EXPECT_EQ(run.err.find("⟦"), std::string::npos) << run.err;
    EXPECT_EQ(run.err.find("secret"), std::string::npos) << run.err;
  };
  for (const char* language : {"en", "es"}) {
    refused(fetch({server.url("/page?key=secret"), "--json"}, language), 3);
    refused(fetch({server.url("/none"), "--json"}, language), 3);
    refused(fetch({server.url("/bad.csv"), "--json"}, language), 2);
    refused(fetch({"example.org/station.csv"}, language), 2);
    refused(fetch({"https://x/{station}"}, language), 2);
    refused(fetch({server.url("/x"), "--ca", folder_ + "/none.pem"}, language), 2);
    refused(fetch({server.url("/x"), "--contact", "a\nb"}, language), 2);
    refused(fetch({server.url("/bad.csv"), "--units", "K"}, language), 2);
  }
  EXPECT_EQ(exported(), before_);
}

TEST_F(WeatherFetch, an_authority_is_named_by_its_file) {
  const auto authority = fetch::make_authority();
  const auto identity = fetch::make_identity(authority, "IP:127.0.0.1");
  const BadServer server([](Connection& c, const Asked&, int) { c.answer(200, csv); }, &identity);
  std::ofstream(folder_ + "/ca.pem") << authority.certificate;
  EXPECT_EQ(fetch({server.url()}).exit_code, 3);
  EXPECT_EQ(fetch({server.url(), "--ca", folder_ + "/ca.pem"}).exit_code, 0);
  EXPECT_EQ(server.asked().size(), 1U);
}

TEST_F(WeatherFetch, stale_says_why_and_since_when) {
  std::atomic<bool> well{true};
  const BadServer server([&](Connection& c, const Asked&, int) {
    if (!well) return c.answer(404, "");
    c.answer(200, csv);
  });
  ASSERT_EQ(fetch({server.url()}).exit_code, 0);
  const std::string after = exported();
  well = false;
  const auto stale = fetch({server.url(), "--allow-stale", "--json"});
  EXPECT_EQ(stale.exit_code, 0) << stale.err;
  const json value = json::parse(stale.out);
  EXPECT_TRUE(value["stale_since"].is_string());
  EXPECT_EQ(value["appended"], false);
  EXPECT_NE(stale.err.find("404"), std::string::npos) << stale.err;
  EXPECT_EQ(exported(), after);
}

TEST_F(WeatherFetch, add_takes_the_same_way_in) {
  const std::string path = folder_ + "/nearby.csv";
  std::ofstream(path, std::ios::binary) << "date,tmin,tmax\n2026-05-01,41,59\n";
  const auto add = [&](std::vector<std::string> more) {
    std::vector<std::string> words{"--lang", "en", "weather", "add", path, "--garden", garden_, "--json"};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(LEAFTURN_PROGRAM, words);
  };
  const auto first = add({"--units", "F"});
  ASSERT_EQ(first.exit_code, 0) << first.err;
  EXPECT_EQ(json::parse(first.out)["appended"], true);
  const std::string after = exported();
  EXPECT_NE(after.find("\\\"units\\\":\\\"F\\\""), std::string::npos);
  EXPECT_EQ(json::parse(add({"--units", "F"}).out)["appended"], false);
  EXPECT_EQ(exported(), after);
  EXPECT_EQ(add({"--units", "F", "--station", "A"}).exit_code, 2);
  EXPECT_EQ(run_program(LEAFTURN_PROGRAM, {"brief", "--garden", garden_}).exit_code, 0) << "the garden reads what it took";
}

}  // namespace
}  // namespace leafturn::test
