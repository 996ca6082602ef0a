// What core's objects ask of the C library, read from the objects themselves: an include rule can be got round, a symbol can't.
#include <gtest/gtest.h>

#include <set>
#include <sstream>

#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

TEST(Objects, core_asks_for_no_elementary_function_file_clock_or_environment) {
  const test::Run run = run_program("/usr/bin/env", {"nm", "--undefined-only", build_path("libleafturn_core.a")});
  ASSERT_EQ(run.exit_code, 0) << run.err;
  const std::set<std::string> barred{
      "exp",          "exp2",          "expm1", "log",    "log2",   "log10", "log1p",          "pow",       "sin",       "cos",    "tan",
      "asin",         "acos",          "atan",  "atan2",  "sinh",   "cosh",  "tanh",           "cbrt",      "hypot",     "lgamma", "tgamma",
      "erf",          "erfc",          "fma",   "fopen",  "open",   "read",  "write",          "socket",    "getenv",    "time",   "clock",
      "gettimeofday", "clock_gettime", "rand",  "random", "printf", "puts",  "pthread_create", "setlocale", "localtime", "strtod"};
  std::istringstream lines(run.out);
  std::string line;
  int seen = 0;
  while (std::getline(lines, line)) {
    const std::size_t mark = line.find(" U ");
    if (mark == std::string::npos) continue;
    ++seen;
    const std::string symbol = line.substr(mark + 3, line.find('@', mark) - mark - 3);
    EXPECT_FALSE(barred.count(symbol)) << "core asks for " << symbol;
  }
  EXPECT_GT(seen, 10);
}

}  // namespace
}  // namespace leafturn::test
