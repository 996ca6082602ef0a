// The windows command as it is asked: the card's bounds, the hours, and that nothing unknown is open.
#include <gtest/gtest.h>

#include <algorithm>

#include "tests/cli/answers.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

std::vector<std::string> asked(const std::string& weather, const std::string& hours = "48") {
  return {"windows",     weather,
          "--lat",       "40.0",
          "--lon",       "-95.0",
          "--card",      source_path("demo/cards/demo-oil-one.toml"),
          "--from",      "2026-06-11T06:30",
          "--zone",      "America/Chicago",
          "--hours",     hours,
          "--in-flower", "no",
          "--json"};
}

const json* limit(const json& hour, const std::string& name) {
  for (const json& one : hour.at("limits"))
    if (one.at("limit") == name) return &one;
  return nullptr;
}

TEST(SprayHoursCommand, holds_every_hour_against_the_card_and_the_usual_limits) {
  const json got = answer(asked(source_path("demo/weather/hours.csv")));
  ASSERT_EQ(got.at("hours").size(), 48U);
  EXPECT_EQ(got.at("hours")[0].at("time"), "2026-06-11T06:00:00-05:00");
  EXPECT_EQ(got.at("told_by"), "forecast");
  for (const json& hour : got.at("hours")) {
    // The card says not above 29 °C: a label's bound stops.
    const json* heat = limit(hour, "temperature_most");
    ASSERT_NE(heat, nullptr);
    EXPECT_TRUE(heat->at("from_label").get<bool>());
    EXPECT_DOUBLE_EQ(heat->at("bound").get<double>(), 29.0);
    EXPECT_EQ(heat->at("state"), heat->at("value").get<double>() > 29.0 ? "stop" : "pass");
    const bool clean =
        std::all_of(hour.at("limits").begin(), hour.at("limits").end(), [](const json& l) { return l.at("state") == "pass"; });
    EXPECT_EQ(hour.at("open").get<bool>(), clean);
    EXPECT_TRUE(hour.at("chance").is_number());
  }
  EXPECT_FALSE(got.at("never_permission").get<std::string>().empty());
}

TEST(SprayHoursCommand, windows_are_the_runs_of_open_hours) {
  const json got = answer(asked(source_path("demo/weather/hours.csv"), "72"));
  json runs = json::array();
  for (const json& hour : got.at("hours"))
    if (hour.at("open").get<bool>()) runs.push_back(hour.at("time"));
  std::size_t inside = 0;
  for (const json& window : got.at("windows"))
    for (const json& time : runs) inside += window.at("start") <= time && time < window.at("end") ? 1U : 0U;
  EXPECT_EQ(inside, runs.size());
  EXPECT_GT(runs.size(), 0U) << "the demo's forecast should leave an hour open";
}

TEST(SprayHoursCommand, hours_the_file_does_not_tell_are_unknown) {
  auto words = asked(source_path("demo/weather/hours.csv"), "24");
  for (std::string& word : words)
    if (word.starts_with("2026-06-11T")) word = "2026-06-20T06:00";
  const json got = answer(words);
  for (const json& hour : got.at("hours")) {
    EXPECT_FALSE(hour.at("open").get<bool>());
    EXPECT_EQ(hour.at("state"), "unknown");
  }
  EXPECT_TRUE(got.at("windows").empty());
}

TEST(SprayHoursCommand, refuses_what_it_cannot_read) {
  auto words = asked(source_path("demo/weather/station.csv"));
  EXPECT_EQ(leafturn(words).exit_code, 2);
  words = asked(source_path("demo/weather/hours.csv"), "0");
  EXPECT_EQ(leafturn(words).exit_code, 2);
  words = asked(source_path("demo/weather/hours.csv"));
  *std::find(words.begin(), words.end(), "no") = "maybe";
  EXPECT_EQ(leafturn(words).exit_code, 2);
}

TEST(SprayHoursCommand, draws_the_strip_with_letters_in_both_languages) {
  auto words = asked(source_path("demo/weather/hours.csv"), "72");
  words.pop_back();
  for (const char* language : {"en", "es"}) {
    const auto run = leafturn(words, language);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_NE(run.out.find('#'), std::string::npos);
    EXPECT_EQ(run.out.find("⟦"), std::string::npos) << run.out;
  }
}

}  // namespace
}  // namespace leafturn::test
