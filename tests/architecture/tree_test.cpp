// The tree as a newcomer finds it: short files, a map that is true, and nothing of the machine it was written on.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <regex>
#include <set>

#include "tests/support/data.hpp"
#include "tests/support/sources.hpp"

namespace leafturn::test {
namespace {

namespace fs = std::filesystem;

const std::vector<std::string> code_endings{".cpp", ".hpp", ".ts", ".tsx", ".mjs", ".py", ".cmake", ".txt", ".css"};

std::vector<SourceFile> with_scripts(std::vector<std::string> endings) {
  auto files = source_files("", endings);
  for (const char* script : {"start", "check", ".ci/run"}) files.push_back({script, read_file(source_path(script))});
  for (auto& file : source_files("scripts", {""})) files.push_back(std::move(file));
  return files;
}

TEST(Tree, no_source_file_is_over_500_lines) {
  for (const auto& file : with_scripts(code_endings))
    EXPECT_LE(std::count(file.text.begin(), file.text.end(), '\n'), 500) << file.path << " is two files";
}

TEST(Tree, nothing_is_left_for_later) {
  const std::regex later(std::string("\\b(TO") + "DO|FIX" + "ME|XX" + "X|HA" + "CK)\\b");
  auto endings = code_endings;
  endings.push_back(".toml");
  for (const auto& file : with_scripts(endings)) EXPECT_FALSE(std::regex_search(file.text, later)) << file.path;
}

TEST(Tree, the_map_lists_exactly_the_folders) {
  std::set<std::string> mapped;
  const std::string map = read_file(source_path("ARCHITECTURE.md"));
  const std::regex row(R"(\n\| `([a-z_]+(?:/[a-z_]+)?)/?` \|)");
  for (std::sregex_iterator it(map.begin(), map.end(), row), end; it != end; ++it) mapped.insert((*it)[1]);
  std::set<std::string> there;
  const auto add_folders = [&](const std::string& under) {
    for (const auto& entry : fs::directory_iterator(source_path(under))) {
      const std::string name = entry.path().filename().string();
      if (entry.is_directory() && name[0] != '.' && name != "build" && !fs::is_empty(entry.path())) there.insert(under + name);
    }
  };
  add_folders("");
  add_folders("core/");
  for (const auto& folder : there) EXPECT_TRUE(mapped.count(folder)) << folder << "/ is missing in ARCHITECTURE.md";
  for (const auto& folder : mapped) EXPECT_TRUE(there.count(folder)) << "ARCHITECTURE.md tells of " << folder << "/, which is not there";
}

TEST(Tree, no_path_of_one_machine_and_no_registry) {
  // Written in parts, so that this file doesn't find itself.
  const std::vector<std::string> barred{
      std::string("/wo") + "rk/",       std::string("/ro") + "ot/",     std::string("/ho") + "me/",   std::string("/tm") + "p/",
      std::string("npm") + "js",        std::string("debian") + ".org", std::string("py") + "pi.org", std::string("shared/") + "reference",
      std::string("shared/") + "design"};
  const std::vector<std::string> endings{".cpp", ".hpp", ".ts",   ".tsx",  ".mjs", ".js",   ".py",  ".cmake",
                                         ".txt", ".md",  ".toml", ".json", ".csv", ".html", ".css", ".npmrc"};
  for (const auto& file : with_scripts(endings))
    for (const auto& word : barred) EXPECT_EQ(file.text.find(word), std::string::npos) << file.path << " names " << word;
}

TEST(Tree, nothing_carries_a_trade_mark) {
  for (const auto& file : with_scripts({".cpp", ".hpp", ".ts", ".md", ".toml", ".csv", ".html"}))
    for (const char* sign : {"\u00AE", "\u2122"}) EXPECT_EQ(file.text.find(sign), std::string::npos) << file.path << " has " << sign;
}

TEST(Tree, every_decision_is_in_the_list) {
  const std::string list = read_file(source_path("docs/decisions/README.md"));
  for (const auto& file : source_files("docs/decisions", {".md"})) {
    const std::string name = fs::path(file.path).filename().string();
    if (name == "README.md") continue;
    EXPECT_NE(list.find("(" + name + ")"), std::string::npos) << name;
  }
}

TEST(Tree, lock_files_keep_no_addresses) {
  for (const auto& file : source_files("", {"package-lock.json"}))
    EXPECT_EQ(file.text.find("\"resolved\""), std::string::npos) << file.path;
}

TEST(Tree, every_header_is_guarded_and_says_what_it_is_for) {
  for (const char* room : {"core", "io", "store", "fetch", "words", "app", "paper", "render", "server", "cli"})
    for (const auto& file : source_files(room, {".hpp"})) EXPECT_EQ(file.text.rfind("#pragma once\n//", 0), 0U) << file.path;
}

TEST(Tree, links_in_the_documents_lead_somewhere) {
  const std::regex link(R"(\]\(([^)#:\s]+)(#[^)]*)?\))");
  for (const auto& file : source_files("", {".md"}))
    for (std::sregex_iterator it(file.text.begin(), file.text.end(), link), end; it != end; ++it) {
      const fs::path target = fs::path(source_path(file.path)).parent_path() / (*it)[1].str();
      EXPECT_TRUE(fs::exists(target)) << file.path << " links to " << (*it)[1];
    }
}

}  // namespace
}  // namespace leafturn::test
