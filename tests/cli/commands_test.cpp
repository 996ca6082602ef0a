// The program as a whole: exit codes, one JSON value, three-part errors, published values through the command line, every help example run.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

Run leafturn(std::vector<std::string> words) {
  words.insert(words.begin(), {"--lang", "en"});
  return run_program(LEAFTURN_PROGRAM, words);
}

/// Standard output as the one JSON value it must be.
json answer(std::vector<std::string> words, int exit_code = 0) {
  words.push_back("--json");
  const auto run = leafturn(words);
  EXPECT_EQ(run.exit_code, exit_code) << run.err;
  json value = json::parse(run.out, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << run.out;
  return value;
}

std::string file_in(const std::string& folder, const std::string& name, const std::string& text) {
  std::ofstream(folder + "/" + name, std::ios::binary) << text;
  return folder + "/" + name;
}

std::string demo(const std::string& name) {
  const std::string folder = fresh_folder(name) + "/garden";
  EXPECT_EQ(leafturn({"demo", folder}).exit_code, 0);
  return folder;
}

double clock_hours(const std::string& iso) {
  return std::stod(iso.substr(11, 2)) + std::stod(iso.substr(14, 2)) / 60.0 + std::stod(iso.substr(17, 2)) / 3600.0;
}

TEST(Sun, the_worked_example_through_the_program) {
  const json sun = answer({"sun", "--at", "2003-10-17T12:30:30-07:00", "--lat", "39.742476", "--lon", "-105.1786", "--elevation",
                           "1830.14m", "--pressure", "820hPa", "--temp", "11C"});
  const std::string source = "Reda & Andreas 2004, NREL/TP-560-34302, worked example";
  const auto row = [&](const char* id, const char* what, double expected, double tolerance, const char* unit) {
    return Row{id, what, source, "seen", From::published, expected, tolerance, unit};
  };
  check_row(row("cli.sun.zenith", "`sun --json` zenith", 50.11162, 0.0003, "deg"), sun["zenith_deg"].get<double>());
  check_row(row("cli.sun.azimuth", "`sun --json` azimuth", 194.340241, 0.0003, "deg"), sun["azimuth_deg"].get<double>());
  check_row(row("cli.sun.rise", "`sun --json` sunrise", 6.212067, 0.0006, "h"), clock_hours(sun["sunrise"].get<std::string>()));
  // The report's sunset is that of the UTC day, which at the site is the evening before.
  const json evening_before = answer({"sun", "--at", "2003-10-16T12:30:30-07:00", "--lat", "39.742476", "--lon", "-105.1786", "--elevation",
                                      "1830.14m", "--pressure", "820hPa", "--temp", "11C"});
  check_row(row("cli.sun.set", "`sun --json` sunset of the evening before", 17.338667, 0.0006, "h"),
            clock_hours(evening_before["sunset"].get<std::string>()));
  EXPECT_EQ(sun["sunrise"].get<std::string>().substr(19), "-07:00");
}

TEST(DegreeDays, a_week_by_every_method_equals_quadrature) {
  const std::string folder = fresh_folder("cli-week");
  const std::string week =
      file_in(folder, "week.csv",
              "date,tmin_c,tmax_c\n2026-05-01,6,19\n2026-05-02,8,24\n2026-05-03,11,29\n2026-05-04,12,33\n2026-05-05,9,21\n"
              "2026-05-06,4,14\n2026-05-07,7,23\n2026-05-08,10,20\n");
  const std::vector<std::pair<std::string, double>> expected{{"single-sine", 43.5989930176},
                                                             {"double-sine", 44.0239535846},
                                                             {"single-triangle", 42.6490155678},
                                                             {"double-triangle", 43.1829238776}};
  for (const auto& [method, sum] : expected) {
    const json table = answer({"degree-days", week, "--lower", "10C", "--upper", "30C", "--method", method, "--to", "2026-05-07"});
    ASSERT_EQ(table["days"].size(), 7U);
    check_row({"cli.degree_days.week." + method, "seven days, 10 to 30 °C, horizontal cutoff, " + method + ", last sum",
               "64-point Gauss-Legendre quadrature of the stated curve", "derived", From::quadrature, sum, 1e-8, "C d"},
              table["days"].back()["sum"].get<double>());
    EXPECT_EQ(table["method"], method);
    EXPECT_EQ(table["cutoff"], "horizontal");
    EXPECT_EQ(table["lower"], "10C");
  }
}

TEST(DegreeDays, readings_in_fahrenheit_come_back_as_given) {
  const std::string folder = fresh_folder("cli-fahrenheit");
  const std::string file = file_in(folder, "f.csv", "date,tmin,tmax\n2026-05-01,48,90\n");
  EXPECT_EQ(leafturn({"degree-days", file, "--lower", "50F"}).exit_code, 2) << "units are needed";
  const json table = answer({"degree-days", file, "--lower", "50F", "--upper", "88F", "--unit", "F", "--units", "F"});
  EXPECT_EQ(table["unit"], "F");
  EXPECT_DOUBLE_EQ(table["days"][0]["tmin"].get<double>(), 48.0);
  check_row({"cli.degree_days.f", "single sine 48/90 °F between 50 and 88 °F", "quadrature of the stated curve", "derived",
             From::quadrature, 19.0, 1e-8, "F d"},
            table["total"].get<double>());
}

TEST(DegreeDays, a_long_gap_is_reported_or_refused) {
  const std::string folder = fresh_folder("cli-gap");
  const std::string file = file_in(folder, "gap.csv", "date,tmin_c,tmax_c\n2026-05-01,10,20\n2026-05-09,10,20\n");
  const json table = answer({"degree-days", file, "--lower", "10C"});
  ASSERT_EQ(table["gaps"].size(), 1U);
  EXPECT_EQ(table["gaps"][0]["days"], 7);
  const auto strict = leafturn({"degree-days", file, "--lower", "10C", "--strict", "--json"});
  EXPECT_EQ(strict.exit_code, 2);
  EXPECT_TRUE(strict.out.empty());
}

TEST(Season, answers_in_the_contracts_keys) {
  const json season =
      answer({"season", "PIERRA", source_path("demo/weather/station.csv"), "--lat", "40", "--lon", "-95", "--year", "2026"});
  EXPECT_EQ(season["pest"], "imported-cabbageworm");
  ASSERT_FALSE(season["generations"].empty());
  const auto& first = season["generations"][0];
  EXPECT_EQ(first["generation"], 1);
  EXPECT_TRUE(first["complete_share"].is_number());
  EXPECT_EQ(first["stages"][0]["enter"]["p50"].get<std::string>().substr(19), "-06:00");
}

TEST(Development, no_days_where_it_does_not_develop) {
  const json rows = answer({"development", "imported-cabbageworm", "--stage", "egg-adult", "--temps", "0C,20C,77F"})["rows"];
  ASSERT_EQ(rows.size(), 3U);
  EXPECT_TRUE(rows[0]["days"].is_null());
  EXPECT_GT(rows[1]["days"].get<double>(), rows[2]["days"].get<double>());
  EXPECT_EQ(rows[2]["temp"], "77F");
  EXPECT_DOUBLE_EQ(rows[2]["temp_c"].get<double>(), 25.0);
}

TEST(Judge, says_no_with_exit_1_and_json_all_the_same) {
  const std::string card = source_path("demo/cards/demo-oil-one.toml");
  const json refused = answer({"judge", "--card", card, "--crop", "BRSOK", "--on", "2026-06-12", "--rate", "9 floz/gal", "--history",
                               source_path("demo/actions.csv")},
                              1);
  EXPECT_EQ(refused["verdict"], "refused");
  const json unknown = answer({"judge", "--card", card, "--crop", "BRSOK", "--on", "2026-06-12", "--rate", "1 floz/gal"}, 1);
  EXPECT_EQ(unknown["verdict"], "unknown");
  const json conditional = answer({"judge", "--card", card, "--crop", "BRSOK", "--on", "2026-06-12T18:00", "--rate", "1 floz/gal",
                                   "--history", source_path("demo/actions.csv"), "--setting", "agricultural", "--zone", "America/Chicago"});
  EXPECT_EQ(conditional["verdict"], "conditional");
  EXPECT_EQ(conditional["reentry"], "2026-06-12T22:00:00-05:00");
  EXPECT_FALSE(conditional["cautions"].empty());
}

TEST(Ledger, verify_tells_intact_from_a_foreign_head) {
  const std::string garden = demo("cli-ledger");
  const json intact = answer({"ledger", "verify", "--garden", garden});
  EXPECT_TRUE(intact["ok"].get<bool>());
  EXPECT_GT(intact["events"].get<int>(), 10);
  answer({"ledger", "verify", "--garden", garden, "--head", intact["head"].get<std::string>()});
  EXPECT_FALSE(answer({"ledger", "verify", "--garden", garden, "--head", std::string(64, 'a')}, 1)["ok"].get<bool>());
}

TEST(Writing, a_refused_plan_writes_nothing) {
  const std::string garden = demo("cli-writing");
  const json before = answer({"ledger", "verify", "--garden", garden});
  const json refused = answer({"spray", "plan", "--garden", garden, "--bed", "1", "--product", "Demo Oil One", "--rate", "9 floz/gal"}, 1);
  EXPECT_TRUE(refused["written"].is_null());
  EXPECT_EQ(answer({"ledger", "verify", "--garden", garden}), before);
  const json receipt =
      answer({"count", "--garden", garden, "--bed", "1", "--pest", "PIERRA", "--stage", "larva", "--plants", "5", "--count", "2"});
  EXPECT_EQ(receipt["kind"], "appended");
  EXPECT_EQ(answer({"ledger", "verify", "--garden", garden})["head"], receipt["link"]);
}

struct Wrong {
  const char* name;
  std::vector<std::string> words;
};

TEST(WrongUse, every_kind_gives_a_three_part_error_and_exit_2) {
  const std::string weather = source_path("demo/weather/station.csv");
  const std::string card = source_path("demo/cards/demo-oil-one.toml");
  const std::vector<Wrong> all{
      {"no command", {}},
      {"unknown command", {"brif"}},
      {"family alone", {"ledger"}},
      {"unknown option", {"demo", "x", "--size", "9"}},
      {"missing option", {"degree-days", weather}},
      {"missing value", {"degree-days", weather, "--lower"}},
      {"two words after one option", {"degree-days", weather, "--lower", "1C", "2C"}},
      {"given twice", {"degree-days", weather, "--lower", "1C", "--lower", "2C"}},
      {"one word too many", {"pest", "harlequin-bug", "again"}},
      {"missing file", {"degree-days", "no-such-file.csv", "--lower", "10C"}},
      {"no unit", {"degree-days", weather, "--lower", "10"}},
      {"unknown unit", {"degree-days", weather, "--lower", "10R"}},
      {"no number", {"degree-days", weather, "--lower", "warm"}},
      {"unknown method", {"degree-days", weather, "--lower", "10C", "--method", "guess"}},
      {"no upper", {"degree-days", weather, "--lower", "10C", "--cutoff", "vertical"}},
      {"reversed days", {"degree-days", weather, "--lower", "10C", "--from", "2026-06-01", "--to", "2026-05-01"}},
      {"no such pest", {"pest", "unicorn"}},
      {"no such stage", {"development", "harlequin-bug", "--stage", "pony", "--temps", "20C"}},
      {"no offset", {"sun", "--at", "2026-06-21T12:00", "--lat", "43", "--lon", "-88"}},
      {"latitude outside", {"sun", "--at", "2026-06-21T12:00Z", "--lat", "143", "--lon", "-88"}},
      {"year outside", {"season", "PIERRA", weather, "--lat", "43", "--lon", "-88", "--year", "1999"}},
      {"no garden", {"brief", "--garden", "no-such-garden"}},
      {"bad crop", {"judge", "--card", card, "--crop", "kale!", "--on", "2026-06-01"}},
      {"unknown zone", {"judge", "--card", card, "--crop", "BRSOK", "--on", "2026-06-01", "--zone", "Mars/Base"}},
      {"unknown language", {"--lang", "xx", "pest", "harlequin-bug"}},
  };
  for (const auto& wrong : all) {
    for (const char* language : {"en", "es"}) {
      std::vector<std::string> words = wrong.words;
      if (std::string(wrong.name) != "unknown language") words.insert(words.end(), {"--json", "--lang", language});
      const auto run = run_program(LEAFTURN_PROGRAM, words);
      EXPECT_EQ(run.exit_code, 2) << wrong.name << "\n" << run.out << run.err;
      EXPECT_TRUE(run.out.empty()) << wrong.name << ": " << run.out;
      EXPECT_EQ(run.err.rfind("leafturn: ", 0), 0U) << wrong.name << ": " << run.err;
      EXPECT_NE(run.err.find("): "), std::string::npos) << wrong.name << " lacks a part: " << run.err;
      EXPECT_EQ(run.err.find("⟦"), std::string::npos) << wrong.name << " lacks words: " << run.err;
    }
  }
}

TEST(Output, a_full_disk_is_no_success) {
  const auto run = run_program("/bin/sh", {"-c", std::string("'") + LEAFTURN_PROGRAM + "' pest harlequin-bug > /dev/full"});
  EXPECT_EQ(run.exit_code, 3);
}

/// The commands that `leafturn --help` lists.
std::vector<std::string> listed_commands() {
  std::vector<std::string> found;
  std::istringstream lines(leafturn({"--help"}).out);
  for (std::string line; std::getline(lines, line);)
    if (line.size() > 3 && line.rfind("  ", 0) == 0 && line[2] != ' ') found.push_back(line.substr(2, line.find("  ", 2) - 2));
  return found;
}

std::vector<std::string> split(const std::string& path) {
  std::istringstream in(path);
  return {std::istream_iterator<std::string>(in), {}};
}

TEST(Help, every_example_runs_and_every_option_is_in_the_document) {
  const auto commands = listed_commands();
  ASSERT_GE(commands.size(), 25U);
  const std::string document = read_file(source_path("docs/commands.md"));
  const std::string folder = fresh_folder("cli-help");
  fs::create_directory_symlink(source_path("demo"), folder + "/demo");
  const std::string place =
      "cd '" + folder + "' && PATH='" + fs::path(LEAFTURN_PROGRAM).parent_path().string() + "':\"$PATH\" && export PATH && ";
  for (const auto& command : commands) {
    auto words = split(command);
    words.push_back("--help");
    const auto english = leafturn(words);
    ASSERT_EQ(english.exit_code, 0) << command;
    EXPECT_NE(document.find("## " + command + "\n"), std::string::npos) << command << " has no section in docs/commands.md";
    words.insert(words.begin(), {"--lang", "es"});
    const auto spanish = run_program(LEAFTURN_PROGRAM, words);
    EXPECT_EQ(english.out.find("⟦"), std::string::npos) << english.out;
    EXPECT_EQ(spanish.out.find("⟦"), std::string::npos) << spanish.out;
    EXPECT_NE(english.out, spanish.out);
    std::istringstream lines(english.out);
    int examples = 0;
    for (std::string line; std::getline(lines, line);) {
      if (line.rfind("  --", 0) == 0) {
        const std::string option = line.substr(2, line.find(' ', 2) - 2);
        EXPECT_NE(document.find("`" + option), std::string::npos) << command << " " << option << " is not in docs/commands.md";
      }
      if (line.rfind("  leafturn ", 0) != 0) continue;
      ++examples;
      EXPECT_NE(document.find(line.substr(2)), std::string::npos) << line << " is not in docs/commands.md";
      if (command == "serve") continue;          // never ends; tests/server holds it to its word
      if (command == "weather fetch") continue;  // asks the world; weather_fetch_test.cpp has a server for it
      const auto run = run_program("/bin/sh", {"-c", place + line});
      EXPECT_EQ(run.exit_code, 0) << line << "\n" << run.err;
      EXPECT_EQ(run.out.find("⟦"), std::string::npos) << line << "\n" << run.out;
    }
    EXPECT_GE(examples, 1) << command;
  }
}

}  // namespace
}  // namespace leafturn::test
