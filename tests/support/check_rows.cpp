#include "tests/support/check_rows.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace leafturn::test {
namespace {

const char* word(From from) {
  switch (from) {
    case From::published:
      return "published";
    case From::quadrature:
      return "quadrature";
    case From::independent:
      return "independent";
    case From::practice:
      return "practice";
    case From::memory:
      return "memory";
  }
  return "?";
}

std::string tsv_safe(std::string text) {
  for (char& c : text)
    if (c == '\t' || c == '\n') c = ' ';
  return text;
}

// One file per process, so that tests running side by side don't interleave; ./check puts them together.
void report(const Row& row, const std::string& expected, double got, const char* verdict) {
  const char* dir = std::getenv("LEAFTURN_CHECK_ROWS");
  if (dir == nullptr) return;
  const auto* info = testing::UnitTest::GetInstance()->current_test_info();
  const std::string path = std::string(dir) + "/" + info->test_suite_name() + "." + info->name() + ".tsv";
  std::string safe = path;
  for (std::size_t i = std::string(dir).size() + 1; i < safe.size(); ++i)
    if (safe[i] == '/') safe[i] = '_';
  if (std::FILE* f = std::fopen(safe.c_str(), "a")) {
    std::fprintf(f, "%s\t%s\t%s\t%.10g\t%s\t%s\t%s\t%s\t%s\n", tsv_safe(row.id).c_str(), tsv_safe(row.what).c_str(), expected.c_str(), got,
                 tsv_safe(row.unit).c_str(), verdict, word(row.from), tsv_safe(row.known).c_str(), tsv_safe(row.source).c_str());
    std::fclose(f);
  }
}

std::string number(double value) {
  char text[64];
  std::snprintf(text, sizeof text, "%.10g", value);
  return text;
}

}  // namespace

void check_row(const Row& row, double got) {
  const bool good = std::abs(got - row.expected) <= row.tolerance;
  report(row, number(row.expected) + " ± " + number(row.tolerance), got, good ? "ok" : "FAIL");
  EXPECT_TRUE(good) << row.id << ": " << row.what << "\n  expected " << row.expected << " ± " << row.tolerance << " " << row.unit << " ("
                    << row.source << ", " << row.known << ")\n  got      " << got;
}

void check_row_between(const Row& row, double low, double high, double got) {
  const bool good = got >= low && got <= high;
  report(row, number(low) + "…" + number(high), got, good ? "ok" : "FAIL");
  EXPECT_TRUE(good) << row.id << ": " << row.what << "\n  expected " << low << "…" << high << " " << row.unit << " (" << row.source << ", "
                    << row.known << ")\n  got      " << got;
}

void known_miss(const Row& row, double got, double miss_low, double miss_high) {
  const double miss = got - row.expected;
  const bool as_told = miss >= miss_low && miss <= miss_high;
  report(row, number(row.expected), got, as_told ? "known miss" : "FAIL");
  EXPECT_TRUE(as_told) << row.id << ": told to miss by " << miss_low << "…" << miss_high << ", but misses by " << miss;
}

}  // namespace leafturn::test
