// `compare` and `pull` through the program, on the demo garden and on what can't be answered; and the figures of docs/old-crop.md.
#include <gtest/gtest.h>
#include <unistd.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/cli/answers.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

const std::string& demo() {
  static const std::string garden = [] {
    const std::string folder = fresh_folder("decide-" + std::to_string(getpid())) + "/demo";
    EXPECT_EQ(leafturn({"demo", folder}).exit_code, 0);
    return folder;
  }();
  return garden;
}

TEST(Compare, offers_only_what_a_card_allows_and_a_source_supports) {
  const json out = answer({"compare", "--garden", demo(), "--bed", "1"});
  EXPECT_EQ(out["bed"], "1");
  EXPECT_EQ(out["crop"], "BRSOC");
  ASSERT_EQ(out["pests"].size(), 1U);
  const json& worm = out["pests"][0];
  EXPECT_EQ(worm["pest"], "imported-cabbageworm");
  EXPECT_EQ(worm["basis"], "timing");
  EXPECT_EQ(worm["unit"], "threshold");  // no source gives a loss for it: no money
  bool nothing = false;
  for (const json& o : worm["options"]) {
    nothing = nothing || o["means"] == "nothing";
    if (o["means"] == "nothing") continue;
    ASSERT_TRUE(o["effect"].is_object()) << o.dump();
    EXPECT_FALSE(o["effect"]["source"].get<std::string>().empty());
    EXPECT_FALSE(o["effect"]["stages"].empty());
    EXPECT_LE(o["share"]["p05"].get<double>(), o["share"]["p95"].get<double>());
  }
  EXPECT_TRUE(nothing);
  for (const json& r : worm["refused"]) EXPECT_FALSE(r["why"].empty()) << r.dump();
}

TEST(Compare, the_same_question_has_the_same_answer) {
  const std::vector<std::string> words{"compare", "--garden", demo(), "--bed", "3", "--json"};
  EXPECT_EQ(leafturn(words).out, leafturn(words).out);
}

TEST(Compare, speaks_spanish_whole) {
  for (const char* command : {"compare", "pull"}) {
    const auto run = leafturn({command, "--garden", demo(), "--bed", "3"}, "es");
    EXPECT_EQ(run.exit_code, 0) << run.err;
    for (const char* raw : {"compare.", "pull.", "advice.", "option.", "loss.", "means.", "{", "}"})
      EXPECT_EQ(run.out.find(raw), std::string::npos) << raw << "\n" << run.out;
  }
}

TEST(Compare, says_what_it_cannot_answer) {
  const auto no_bed = leafturn({"compare", "--garden", demo(), "--bed", "99"});
  EXPECT_EQ(no_bed.exit_code, 2);
  EXPECT_NE(no_bed.err.find("--bed"), std::string::npos) << no_bed.err;
  const auto bare = leafturn({"pull", "--garden", demo(), "--bed", "12"});
  EXPECT_EQ(bare.exit_code, 2);
  EXPECT_NE(bare.err.find("nothing stands in bed 12"), std::string::npos) << bare.err;
  const auto no_pest = leafturn({"compare", "--garden", demo(), "--bed", "1", "--pest", "unicorn"});
  EXPECT_EQ(no_pest.exit_code, 2);
  const auto no_host = leafturn({"pull", "--garden", demo(), "--bed", "1", "--pest", "LPTNDE"});
  EXPECT_EQ(no_host.exit_code, 2);
  const json uncounted = answer({"compare", "--garden", demo(), "--bed", "9"});
  EXPECT_TRUE(uncounted["pests"].empty());
  EXPECT_EQ(uncounted["nothing"]["code"], "compare.no_pest");
}

TEST(Pull, ranks_beds_and_tells_no_numbers_of_insects) {
  const json out = answer({"pull", "--garden", demo(), "--bed", "3"});
  EXPECT_EQ(out["past_harvest"], true);
  ASSERT_EQ(out["pests"].size(), 1U);
  const json& bug = out["pests"][0];
  EXPECT_EQ(bug["pest"], "harlequin-bug");
  double sum = 0.0;
  for (const auto& [way, share] : bug["ways"].items()) sum += share.get<double>();
  EXPECT_NEAR(sum, 1.0, 1e-6);
  ASSERT_GE(bug["plans"].size(), 3U);
  EXPECT_TRUE(bug["plans"][0]["first"].is_null());
  EXPECT_EQ(bug["plans"][0]["against_plain"]["mean"], 1.0);
  for (const json& plan : bug["plans"]) {
    for (const json& bed : plan["beds"]) {
      EXPECT_NE(bed["bed"], "3");
      for (const char* chance : {"among_most", "over_more"})
        if (!bed[chance].is_null()) {
          EXPECT_GE(bed[chance].get<double>(), 0.0);
          EXPECT_LE(bed[chance].get<double>(), 1.0);
        }
      for (const char* head : {"count", "mean", "individuals", "insects"}) EXPECT_FALSE(bed.contains(head));
    }
    EXPECT_EQ(plan["by_way"].size(), 3U);
  }
  EXPECT_FALSE(bug["cannot_know"].empty());
}

/// The cells of every table row of a page, without blanks at their ends.
std::vector<std::vector<std::string>> rows_of(const std::string& page) {
  std::vector<std::vector<std::string>> rows;
  std::istringstream lines(page);
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("| ")) continue;
    std::vector<std::string> cells;
    std::istringstream in(line.substr(1));
    for (std::string cell; std::getline(in, cell, '|');) {
      const auto from = cell.find_first_not_of(' ');
      cells.push_back(from == std::string::npos ? std::string{} : cell.substr(from, cell.find_last_not_of(' ') - from + 1));
    }
    rows.push_back(std::move(cells));
  }
  return rows;
}

TEST(Pull, the_case_of_an_old_crop_is_told_truly) {
  constexpr double within = 15.0;  // in 100: a mended dossier or model may move them so far before the page has to be mended too
  const json bug = answer({"pull", "--garden", demo(), "--bed", "3"})["pests"][0];
  std::ifstream file(source_path("docs/old-crop.md"));
  std::stringstream page;
  page << file.rdbuf();
  int plans = 0;
  int beds = 0;
  for (const auto& cells : rows_of(page.str())) {
    if (cells.size() == 6 && (cells[1] == "lying" || cells[1] == "cleared")) {
      for (const json& plan : bug["plans"]) {
        const std::string first = plan["first"].is_null() ? "nothing" : plan["first"].get<std::string>();
        if (first != cells[0] || plan["cleared"] != (cells[1] == "cleared")) continue;
        ++plans;
        EXPECT_EQ(plan["on"], cells[2]);
        EXPECT_NEAR(100.0 * plan["against_plain"]["mean"].get<double>(), std::stod(cells[3]), within) << first;
      }
    } else if (cells.size() == 5 && cells[3].ends_with(" %")) {
      for (const json& bed : bug["plans"][0]["beds"]) {
        if (bed["bed"] != cells[0]) continue;
        ++beds;
        EXPECT_EQ(bed["crop"], cells[1]);
        EXPECT_NEAR(bed["metres"].get<double>(), std::stod(cells[2]), 0.51);
        EXPECT_NEAR(100.0 * bed["among_most"].get<double>(), std::stod(cells[3]), within) << cells[0];
        EXPECT_NEAR(100.0 * bed["over_more"].get<double>(), std::stod(cells[4]), within) << cells[0];
      }
    }
  }
  EXPECT_EQ(plans, 5);
  EXPECT_EQ(beds, 6);
  EXPECT_EQ(bug["plans"][bug["least"].get<std::size_t>()]["first"], "hand-pick");
}

}  // namespace
}  // namespace leafturn::test
