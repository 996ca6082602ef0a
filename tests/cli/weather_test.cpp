// `weather check` and `weather show` through the whole program.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

json answer(std::vector<std::string> words) {
  words.insert(words.begin(), {"--lang", "en"});
  words.push_back("--json");
  const auto run = run_program(LEAFTURN_PROGRAM, words);
  EXPECT_EQ(run.exit_code, 0) << run.err;
  json value = json::parse(run.out, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << run.out;
  return value;
}

TEST(WeatherCommands, check_tells_what_is_in_a_file) {
  const json demo = answer({"weather", "check", source_path("demo/weather/station.csv")});
  EXPECT_EQ(demo["kind"], "daily_table");
  EXPECT_EQ(demo["days"], demo["complete"]);
  EXPECT_TRUE(demo["gaps"].empty());
  const json month = answer({"weather", "check", source_path("tests/fuzz/corpus/fuzz_weather_dly/two-days")});
  EXPECT_EQ(month["kind"], "ghcn_fixed");
  EXPECT_EQ(month["station"]["id"], "USW00014839");
  ASSERT_EQ(month["flagged"].size(), 1U);
  EXPECT_EQ(month["flagged"][0], json::parse(R"({"date": "2026-05-02", "element": "TMAX", "flag": "I"})"));
  EXPECT_EQ(month["years"], json::parse(R"([{"year": 2026, "days": 2, "missing": 1}])"));
}

TEST(WeatherCommands, show_gives_the_days_asked_for) {
  const std::string file = source_path("tests/fuzz/corpus/fuzz_weather_dly/two-days");
  const json shown = answer({"weather", "show", file, "--from", "2026-05-01", "--to", "2026-05-01"});
  EXPECT_EQ(shown["days"], json::parse(R"([{"date": "2026-05-01", "tmin_c": 10.0, "tmax_c": 25.0, "rain_mm": 0.0}])"));
  const auto outside = run_program(LEAFTURN_PROGRAM, {"weather", "show", file, "--from", "2027-01-01"});
  EXPECT_EQ(outside.exit_code, 2);
  EXPECT_TRUE(outside.out.empty());
}

// Hand-read from the file: 2013-07-18 13:00 of New York standard time is 18:00 UTC; the row says 96.08 °F, 66.02 °F, 37.49 %.
TEST(WeatherCommands, show_gives_the_hours_of_a_real_station) {
  const auto path = shared_data("nyc-hourly-2013.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  const std::vector<std::string> asked{"weather", "show",   *path,    "--hourly",   "--units", "us",
                                       "--zone",  "-05:00", "--from", "2013-07-18", "--to",    "2013-07-18"};
  const json shown = answer(asked);
  ASSERT_EQ(shown["hours"].size(), 24U);
  const json& hot = shown["hours"][13];
  EXPECT_EQ(hot["time"], "2013-07-18T13:00:00-05:00");
  EXPECT_NEAR(hot["temperature_c"].get<double>(), 35.6, 1e-9);
  EXPECT_NEAR(hot["dew_point_c"].get<double>(), 18.9, 1e-9);
  EXPECT_NEAR(hot["humidity_percent"].get<double>(), 37.49, 1e-9);
  EXPECT_NEAR(hot["wind_kmh"].get<double>(), 6.90468 * 1.609344, 1e-9);
  EXPECT_TRUE(hot["gust_kmh"].is_null());
  EXPECT_EQ(hot["rain_mm"], 0.0);
  EXPECT_GT(hot["delta_t_k"].get<double>(), 10.0) << "hot and dry";
  EXPECT_LT(hot["delta_t_k"].get<double>(), 35.6 - 18.9) << "the wet bulb lies above the dew point";
  for (const char* language : {"en", "es"}) {
    std::vector<std::string> words{"--lang", language};
    words.insert(words.end(), asked.begin(), asked.end());
    const auto text = run_program(LEAFTURN_PROGRAM, words);
    EXPECT_EQ(text.exit_code, 0) << text.err;
    EXPECT_NE(text.out.find("2013-07-18 13:00"), std::string::npos) << text.out;
  }
}

TEST(WeatherCommands, hours_are_refused_where_there_are_none) {
  const auto run = run_program(LEAFTURN_PROGRAM, {"weather", "show", source_path("demo/weather/station.csv"), "--hourly", "--json"});
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_TRUE(run.out.empty());
  EXPECT_NE(run.err.find("--zone"), std::string::npos) << run.err;
}

// The record has a minimum of 0 °F (−17.8 °C) on 2003-05-23, between minima of 56 °F and after a maximum of 98 °F: seen in the file.
TEST(WeatherCommands, check_finds_the_lost_reading_of_a_real_station) {
  const auto path = shared_data("merced-daily-1999-2008.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  const json merced = answer({"weather", "check", *path, "--units", "us"});
  ASSERT_EQ(merced["findings"].size(), 1U);
  EXPECT_EQ(merced["findings"][0]["code"], "quality.spike");
  EXPECT_EQ(merced["findings"][0]["first"], "2003-05-23");
}

}  // namespace
}  // namespace leafturn::test
