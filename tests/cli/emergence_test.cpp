// Dates of docs/readings/emergence-milwaukee.md against the sums of the built degree-days command.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

std::vector<std::string> cells(const std::string& row) {
  std::vector<std::string> out;
  std::istringstream in(row);
  for (std::string cell; std::getline(in, cell, '|');) {
    const auto first = cell.find_first_not_of(" `");
    if (first != std::string::npos) out.push_back(cell.substr(first, cell.find_last_not_of(" `") - first + 1));
  }
  return out;
}

/// `8 Apr` of the document's row `| 2012 | … |`, under `column`.
std::string date_of(const std::string& document, const std::string& year, const std::string& column) {
  std::istringstream in(document);
  std::vector<std::string> header;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("| year |")) header = cells(line);
    if (!line.starts_with("| " + year + " |")) continue;
    const auto row = cells(line);
    for (std::size_t i = 0; i < row.size() && i < header.size(); ++i)
      if (header[i] == column) return row[i];
  }
  return {};
}

std::string iso(const std::string& year, const std::string& day_and_month) {
  static const std::string months = "JanFebMarAprMayJunJulAugSepOctNovDec";
  const auto space = day_and_month.find(' ');
  if (space == std::string::npos) return {};
  const auto two = [](std::size_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return year + "-" + two(months.find(day_and_month.substr(space + 1)) / 3 + 1) + "-" +
         two(static_cast<std::size_t>(std::stoi(day_and_month.substr(0, space))));
}

TEST(Emergence, dates_of_the_table_are_those_of_the_degree_days_command) {
  const auto path = shared_data("milwaukee-daily-1991-2026.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the Milwaukee station file of shared/data");
  const std::string document = read_file(source_path("docs/readings/emergence-milwaukee.md"));
  struct Case {
    std::string column, lower, upper, start;
    double sum;
  };
  const std::vector<Case> all{{"maggot-air", "4C", "", "-02-01", 230.0},
                              {"seedcorn-2", "3.9C", "28.9C", "-01-01", 600.0},
                              {"potato-beetle-135", "12C", "", "-03-01", 135.0},
                              {"vine-borer", "50F", "", "-01-01", 1000.0 / 1.8},
                              {"corn-borer-egg", "50F", "86F", "-01-01", 250.0}};
  for (const std::string year : {"1997", "2012", "2025"}) {
    for (const Case& c : all) {
      const std::string day = iso(year, date_of(document, year, c.column));
      ASSERT_EQ(day.size(), 10U) << year << " " << c.column;
      std::vector<std::string> words{"degree-days", *path,    "--lower",      c.lower, "--method", "double-sine", "--units",
                                     "us",          "--from", year + c.start, "--to",  day,        "--json"};
      if (!c.upper.empty()) words.insert(words.end(), {"--upper", c.upper});
      const auto run = run_program(LEAFTURN_PROGRAM, words);
      ASSERT_EQ(run.exit_code, 0) << run.err;
      const json days = json::parse(run.out)["days"];
      ASSERT_GT(days.size(), 1U);
      EXPECT_GE(days.back()["sum"].get<double>(), c.sum - 1e-9) << year << " " << c.column;
      EXPECT_LT(days[days.size() - 2]["sum"].get<double>(), c.sum) << year << " " << c.column;
    }
  }
}

}  // namespace
}  // namespace leafturn::test
