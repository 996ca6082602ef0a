// Every broken file of tests/io/broken through the whole program: exit 2, nothing on standard output, one three-part line on standard
// error, and not a byte of the ledger changed.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <regex>

#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

namespace fs = std::filesystem;

void expect_refused(const Run& run, const std::string& what) {
  EXPECT_EQ(run.exit_code, 2) << what << "\n" << run.err;
  EXPECT_TRUE(run.out.empty()) << what << "\n" << run.out;
  // leafturn: <what> (<where>): <what to do>
  static const std::regex three_parts(R"(leafturn: [^\n]+ \([^\n]+\): [^\n]+\n)");
  std::string last = run.err;
  if (const auto line = last.rfind("leafturn: "); line != std::string::npos) last.erase(0, line);
  EXPECT_TRUE(std::regex_match(last, three_parts)) << what << "\n" << run.err;
}

std::vector<fs::path> sorted(const std::string& folder) {
  std::vector<fs::path> found;
  for (const auto& entry : fs::directory_iterator(source_path(folder))) found.push_back(entry.path());
  std::sort(found.begin(), found.end());
  return found;
}

TEST(BrokenFiles, Weather) {
  const auto files = sorted("tests/io/broken/weather");
  EXPECT_GE(files.size(), 10U);
  for (const auto& file : files)
    expect_refused(run_program(LEAFTURN_PROGRAM, {"degree-days", file.string(), "--lower", "10C", "--method", "single-sine", "--cutoff",
                                                  "none", "--from", "2026-05-01", "--to", "2026-05-02", "--unit", "C", "--json"}),
                   file.filename().string());
}

TEST(BrokenFiles, Cards) {
  const auto files = sorted("tests/io/broken/cards");
  EXPECT_GE(files.size(), 10U);
  for (const auto& file : files)
    expect_refused(run_program(LEAFTURN_PROGRAM, {"judge", "--card", file.string(), "--crop", "BRSOK", "--on", "2026-06-01", "--rate",
                                                  "1 floz/gal", "--json"}),
                   file.filename().string());
}

TEST(BrokenFiles, Dossiers) {
  const auto files = sorted("tests/io/broken/dossiers");
  EXPECT_GE(files.size(), 10U);
  for (const auto& file : files)
    expect_refused(run_program(LEAFTURN_PROGRAM, {"dossier", "check", file.string(), "--json"}), file.filename().string());
}

class BrokenIntoALedger : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fresh_folder(std::string("broken-") + testing::UnitTest::GetInstance()->current_test_info()->name());
    garden_ = folder_ + "/garden";
    ASSERT_EQ(run_program(LEAFTURN_PROGRAM, {"demo", garden_}).exit_code, 0);
    before_ = exported();
    ASSERT_FALSE(before_.empty());
  }
  std::string exported() { return run_program(LEAFTURN_PROGRAM, {"ledger", "export", "--garden", garden_}).out; }

  std::string folder_, garden_, before_;
};

TEST_F(BrokenIntoALedger, Gardens) {
  const auto gardens = sorted("tests/io/broken/gardens");
  EXPECT_GE(gardens.size(), 10U);
  for (const auto& broken : gardens) {
    const std::string mixed = folder_ + "/" + broken.filename().string();
    // Each broken garden is a good one with some files replaced.
    fs::copy(source_path("demo"), mixed, fs::copy_options::recursive);
    fs::copy(broken, mixed, fs::copy_options::recursive | fs::copy_options::overwrite_existing);
    expect_refused(run_program(LEAFTURN_PROGRAM, {"garden", "import", mixed, "--into", garden_}), broken.filename().string());
  }
  EXPECT_TRUE(exported() == before_) << "the ledger changed";
}

TEST_F(BrokenIntoALedger, Events) {
  const auto events = sorted("tests/io/broken/event");
  EXPECT_GE(events.size(), 10U);
  for (const auto& event : events) {
    const std::string bytes = read_file(event.string());
    // Written by hand, so that bytes which aren't text stay as they are.
    std::string quoted;
    for (const char c : bytes) {
      if (c == '"' || c == '\\') quoted += '\\';
      quoted += c == '\n' ? std::string("\\n") : std::string(1, c);
    }
    const std::string path = folder_ + "/" + event.filename().string();
    // A good line first: it must not be kept when the second is bad.
    const std::string good = before_.substr(0, before_.find('\n') + 1);
    std::ofstream(path, std::ios::binary) << good << R"({"seq":1,"received":"2026-06-01T00:00:00Z","link":"","event":")" << quoted
                                          << "\"}\n";
    expect_refused(run_program(LEAFTURN_PROGRAM, {"ledger", "import", path, "--garden", garden_}), event.filename().string());
  }
  EXPECT_TRUE(exported() == before_) << "the ledger changed";
}

TEST_F(BrokenIntoALedger, MissingFilesToo) {
  expect_refused(run_program(LEAFTURN_PROGRAM, {"degree-days", folder_ + "/none.csv", "--lower", "10C", "--method", "average", "--cutoff",
                                                "none", "--from", "2026-05-01", "--to", "2026-05-02", "--unit", "C"}),
                 "missing weather");
  expect_refused(run_program(LEAFTURN_PROGRAM,
                             {"judge", "--card", folder_ + "/none.toml", "--crop", "BRSOK", "--on", "2026-06-01", "--rate", "1 floz/gal"}),
                 "missing card");
  expect_refused(run_program(LEAFTURN_PROGRAM, {"garden", "import", folder_ + "/none", "--into", garden_}), "missing folder");
  expect_refused(run_program(LEAFTURN_PROGRAM, {"brief", "--garden", folder_ + "/none"}), "missing garden");
  EXPECT_FALSE(fs::exists(folder_ + "/none"));
  EXPECT_TRUE(exported() == before_) << "the ledger changed";
}

}  // namespace
}  // namespace leafturn::test
