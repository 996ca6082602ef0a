// Fitting through the program: a published check, what is refused, and the block that goes into a dossier.
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

Run develop(std::vector<std::string> words) {
  words.insert(words.begin(), {"--lang", "en"});
  return run_program(LEAFTURN_PROGRAM, words);
}

json fitted(const std::string& table, const std::string& form, int exit_code = 0, std::vector<std::string> more = {}) {
  std::vector<std::string> words{"develop", "fit", table, "--form", form, "--json"};
  words.insert(words.end(), more.begin(), more.end());
  const auto run = develop(words);
  EXPECT_EQ(run.exit_code, exit_code) << run.err;
  return json::parse(run.out, nullptr, false);
}

std::string table_in(const std::string& folder, const std::string& text) {
  std::ofstream(folder + "/beetle.csv", std::ios::binary) << text;
  return folder + "/beetle.csv";
}

TEST(DevelopFit, a_line_with_its_standard_errors) {
  const std::string table =
      table_in(fresh_folder("develop-line"),
               "temp_f,days\n59,50\n64.4,32.78688524590164\n69.8,25.31645569620253\n75.2,19.60784313725490\n80.6,16.66666666666667\n");
  const json fit = fitted(table, "linear")["fits"][0];
  const std::string source = "Campbell et al. 1974 (J. Appl. Ecol. 11:431-438), standard errors; regression computed independently";
  const auto row = [&](const char* id, const char* what, double expected, double tolerance, const char* unit, const json& got) {
    check_row({id, what, source, "derived", From::independent, expected, tolerance, unit}, got.get<double>());
  };
  row("cli.fit.t0", "`develop fit --form linear` threshold", 9.0, 1e-8, "C", fit["parameters"]["lower_c"]["value"]);
  row("cli.fit.t0.se", "its standard error", 0.26108740, 1e-7, "C", fit["parameters"]["lower_c"]["standard_error"]);
  row("cli.fit.k", "`develop fit --form linear` constant", 298.50746269, 1e-6, "C d", fit["parameters"]["constant_dd"]["value"]);
  row("cli.fit.k.se", "its standard error", 6.12327263, 1e-6, "C d", fit["parameters"]["constant_dd"]["standard_error"]);
}

TEST(DevelopFit, the_block_goes_into_a_dossier_and_gives_the_fitted_days) {
  const std::string folder = fresh_folder("develop-block");
  for (const std::string form : {"linear", "briere-1", "briere-2", "lactin-2", "logan-6", "logan-10", "sharpe-schoolfield",
                                 "sharpe-schoolfield-high", "kontodimas", "beta"}) {
    SCOPED_TRACE(form);
    const json answer =
        fitted(source_path("demo/rearing.tsv"), form, 0,
               {"--id", "mine", "--population", "my \"house\"", "--first", "egg", "--last", "pupa", "--source", "my own notes"});
    ASSERT_TRUE(answer["fits"][0]["fitted"].get<bool>());
    const std::string file = folder + "/" + form + ".toml";
    ASSERT_EQ(develop({"dossier", "copy", "imported-cabbageworm", "--to", file}).exit_code, 0);
    std::ofstream(file, std::ios::app) << "\n" << answer["fits"][0]["set"].get<std::string>();
    const auto checked = develop({"dossier", "check", file});
    EXPECT_EQ(checked.exit_code, 0) << checked.out << checked.err;
  }
}

TEST(DevelopFit, what_a_table_cannot_tell_is_said) {
  const std::string rising = table_in(fresh_folder("develop-rising"), "temp_c,days\n12,60\n16,31\n20,19\n24,13.5\n28,10.8\n");
  const json both = fitted(rising, "linear,briere-1");
  EXPECT_TRUE(both["fits"][0]["fitted"].get<bool>());
  EXPECT_FALSE(both["fits"][1]["fitted"].get<bool>());
  EXPECT_EQ(both["fits"][1]["reasons"][0]["code"], "fit.upper_not_identified");
  EXPECT_TRUE(both["fits"][1]["set"].is_null());
  EXPECT_TRUE(both["lowest_aicc"].is_null());
  // Nothing fitted: the answer is no.
  const json none = fitted(rising, "briere-1", 1);
  EXPECT_EQ(none["fits"].size(), 1U);
  EXPECT_NE(develop({"develop", "fit", rising, "--form", "briere-1"}).out.find("upper limit not identified"), std::string::npos);

  EXPECT_EQ(develop({"develop", "fit", rising, "--form", "parabola"}).exit_code, 2);
  EXPECT_EQ(develop({"develop", "fit", rising, "--form", "linear", "--weights", "heavy"}).exit_code, 2);
  EXPECT_EQ(develop({"develop", "fit", rising + ".absent", "--form", "linear"}).exit_code, 2);
  const auto bad = develop({"develop", "fit", table_in(fresh_folder("develop-bad"), "temp_c,days\n12,60\n68,12\n"), "--form", "linear"});
  EXPECT_EQ(bad.exit_code, 2);
  EXPECT_NE(bad.err.find("line 3"), std::string::npos) << bad.err;
  EXPECT_TRUE(bad.out.empty());
}

TEST(Development, a_set_that_is_not_there_names_those_that_are) {
  const auto run = develop({"development", "imported-cabbageworm", "--stage", "egg", "--temps", "20C", "--set", "nobody-2000"});
  EXPECT_EQ(run.exit_code, 2);
  EXPECT_NE(run.err.find("nobody-2000"), std::string::npos) << run.err;
}

}  // namespace
}  // namespace leafturn::test
