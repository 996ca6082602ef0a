// The scripts people start with: wrong use is told, and the table of checks can fail.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

const char* const good = "a.b\tsum\t1 ± 0.1\t1\tC d\tok\tpublished\tseen\tA handbook 1999\n";
const char* const other = "c.d\tsum\t1 ± 0.1\t1\tC d\tknown miss\tindependent\tderived\tAnother program\n";
const char* const bad = "e.f\tsum\t1 ± 0.1\t2\tC d\tFAIL\tpractice\tpractice\tcommon practice, no source\n";

test::Run rows(const std::string& text, const std::string& least) {
  const std::string folder = fresh_folder("print-check-rows");
  std::ofstream(folder + "/One.test.tsv", std::ios::binary) << text;
  return run_program(source_path("scripts/print-check-rows"), {folder, least});
}

TEST(Scripts, check_rows_are_listed_by_source) {
  const test::Run run = rows(std::string(good) + other, "2");
  EXPECT_EQ(run.exit_code, 0) << run.out << run.err;
  EXPECT_NE(run.out.find("\nA handbook 1999\n"), std::string::npos) << run.out;
  EXPECT_NE(run.out.find("2 checks against values from outside the project, from 2 sources"), std::string::npos) << run.out;
  EXPECT_NE(run.out.find("known miss: 1"), std::string::npos) << run.out;
}

TEST(Scripts, too_few_check_rows_or_a_failed_one_fail) {
  EXPECT_EQ(rows(std::string(good) + other, "3").exit_code, 1);
  EXPECT_EQ(rows(std::string(good) + bad, "2").exit_code, 1);
  EXPECT_EQ(rows("", "1").exit_code, 1);
}

TEST(Scripts, wrong_use_is_told) {
  const test::Run port = run_program(source_path("start"), {"--port", "x"});
  EXPECT_EQ(port.exit_code, 2);
  EXPECT_EQ(port.err, "leafturn: --port needs a number (x): say for example --port 8081\n");
  EXPECT_EQ(run_program(source_path("start"), {"--nonsense"}).exit_code, 2);
  EXPECT_EQ(run_program(source_path("check"), {"--nonsense"}).exit_code, 2);
  EXPECT_EQ(run_program(source_path("start"), {"--help"}).exit_code, 0);
}

TEST(Scripts, without_a_package_manager_it_says_what_to_install) {
  // A path with just enough for the script itself: no apt-get, no compiler.
  const std::string folder = fresh_folder("bare-machine");
  for (const char* tool : {"bash", "dirname", "sed"}) {
    const test::Run where = run_program("/usr/bin/env", {"sh", "-c", std::string("command -v ") + tool});
    ASSERT_EQ(where.exit_code, 0) << tool;
    std::filesystem::create_symlink(where.out.substr(0, where.out.find('\n')), folder + "/" + tool);
  }
  const test::Run run = run_program("/usr/bin/env", {"PATH=" + folder, "bash", source_path("start"), "--install"});
  EXPECT_EQ(run.exit_code, 3) << run.out << run.err;
  EXPECT_NE(run.err.find("g++ cmake ninja pkg-config git Node.js 18 or newer with npm"), std::string::npos) << run.err;
}

}  // namespace
}  // namespace leafturn::test
