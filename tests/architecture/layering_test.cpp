// The arrows of ARCHITECTURE.md, checked on every #include line: all rooms share one include root, so the build alone can't.
#include <gtest/gtest.h>

#include <map>
#include <regex>
#include <set>

#include "tests/support/sources.hpp"

namespace leafturn::test {
namespace {

using Rooms = std::set<std::string>;

// Which rooms a room may include, besides itself.
const std::map<std::string, Rooms> arrows{
    {"core", {}},
    {"io", {"core"}},
    {"store", {"core"}},
    {"fetch", {"core"}},
    {"words", {"core"}},
    {"app", {"core", "io", "store", "fetch"}},
    {"paper", {"core"}},
    {"render", {"core", "app", "paper", "words"}},
    {"server", {"core", "app", "paper", "render", "words"}},
    {"cli", {"core", "app", "paper", "render", "words", "server"}},
};
const std::map<std::string, Rooms> core_arrows{
    {"base", {}},
    {"garden", {"base"}},
    {"weather", {"base"}},
    {"pest", {"base"}},
    {"phenology", {"base", "weather", "pest"}},
    {"label", {"base", "garden", "pest"}},
    {"spray", {"base", "garden", "weather", "pest", "label"}},
    {"records", {"base", "garden", "pest", "label", "spray"}},
    {"population", {"base", "garden", "weather", "pest", "phenology"}},
    {"decision", {"base", "garden", "weather", "pest", "phenology", "population", "label"}},
};
// Who may include which set of embedded files.
const std::map<std::string, std::string> embedded_by{{"dossiers", "io"}, {"words", "words"},    {"demo", "app"},
                                                     {"web", "server"},  {"openapi", "server"}, {"phone", "server"}};

struct Include {
  std::string file, room, core_room, path;
  bool quoted = false;
};

std::string part(const std::string& path, int index) {
  std::size_t from = 0;
  for (int i = 0; i < index; ++i) {
    const std::size_t slash = path.find('/', from);
    if (slash == std::string::npos) return {};
    from = slash + 1;
  }
  const std::size_t end = path.find('/', from);
  return path.substr(from, end == std::string::npos ? end : end - from);
}

std::vector<SourceFile> our_sources() {
  std::vector<SourceFile> files;
  for (const auto& [room, uses] : arrows)
    for (auto& file : source_files(room, {".cpp", ".hpp"})) files.push_back(std::move(file));
  return files;
}

std::vector<Include> includes() {
  const std::regex line(R"re(^[ \t]*#[ \t]*include[ \t]*([<"])([^>"]+)[>"])re", std::regex::multiline);
  std::vector<Include> found;
  for (const auto& file : our_sources())
    for (std::sregex_iterator it(file.text.begin(), file.text.end(), line), end; it != end; ++it) {
      const std::string room = part(file.path, 0);
      found.push_back({file.path, room, room == "core" ? part(file.path, 1) : "", (*it)[2], (*it)[1] == "\""});
    }
  return found;
}

std::string stem(const std::string& path) { return path.substr(0, path.rfind('.')); }

bool ends_with(const std::string& text, const std::string& end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

TEST(Layering, the_rooms_are_those_of_the_arrows) {
  for (const auto& file : source_files("core", {".cpp", ".hpp"}))
    EXPECT_TRUE(core_arrows.count(part(file.path, 1))) << file.path << " is in no room of core: add the room to ARCHITECTURE.md and here";
  EXPECT_GT(includes().size(), 100U);
}

TEST(Layering, rooms_include_only_along_the_arrows) {
  for (const auto& include : includes()) {
    if (!include.quoted) continue;
    const std::string target = part(include.path, 0);
    if (target == "embedded") {
      const std::string set = part(include.path, 1).substr(0, part(include.path, 1).find('.'));
      if (set == "file") continue;
      const auto owner = embedded_by.find(set);
      ASSERT_NE(owner, embedded_by.end()) << include.file << " includes " << include.path;
      EXPECT_EQ(owner->second, include.room) << include.file << " includes " << include.path;
      continue;
    }
    ASSERT_TRUE(arrows.count(target)) << include.file << " includes " << include.path
                                      << ", which is not written from the repository's root";
    EXPECT_TRUE(target == include.room || arrows.at(include.room).count(target))
        << include.file << " (" << include.room << ") includes " << include.path;
  }
}

TEST(Layering, rooms_of_core_include_only_along_the_arrows) {
  for (const auto& include : includes()) {
    if (include.room != "core" || !include.quoted) continue;
    const std::string target = part(include.path, 1);
    ASSERT_TRUE(core_arrows.count(include.core_room)) << include.file;
    EXPECT_TRUE(target == include.core_room || core_arrows.at(include.core_room).count(target))
        << include.file << " includes " << include.path;
  }
}

// A library's headers, and where they may be included: rooms (none named: any), or files whose names end so before the dot.
struct Library {
  std::string headers;
  Rooms rooms;
  std::string stem_ending;
};
const std::vector<Library> libraries{
    {"nlohmann/", {}, "_json"}, {"toml++/", {}, "_toml"},      {"httplib", {"fetch"}, ""},
    {"CLI/", {"cli"}, ""},      {"SQLiteCpp/", {"store"}, ""}, {"sqlite3", {"store"}, ""},
    {"sodium", {"store"}, ""},  {"date/", {"io"}, ""},         {"openssl/", {"app", "fetch", "server"}, ""},
    {"zlib.h", {"fetch"}, ""},  {"boost/", {"server"}, ""},    {"qrcodegen/", {"render"}, ""},
    {"pango/", {"paper"}, ""},  {"cairo", {"paper"}, ""},
};

TEST(Layering, libraries_stay_in_their_rooms) {
  for (const auto& include : includes()) {
    if (include.room == "core") {
      EXPECT_NE(include.path.rfind("fmt/", 0), 0U) << include.file << " includes " << include.path;
    }
    for (const auto& library : libraries) {
      if (include.path.rfind(library.headers, 0) != 0) continue;
      EXPECT_TRUE(library.rooms.empty() || library.rooms.count(include.room)) << include.file << " includes " << include.path;
      EXPECT_TRUE(ends_with(stem(include.file), library.stem_ending)) << include.file << " includes " << include.path;
    }
  }
}

TEST(Layering, core_includes_no_files_clock_threads_or_streams) {
  const Rooms barred{"atomic",       "condition_variable",
                     "csignal",      "cstdio",
                     "cstdlib",      "ctime",
                     "exception",    "filesystem",
                     "format",       "fstream",
                     "future",       "iomanip",
                     "ios",          "iostream",
                     "istream",      "locale",
                     "mutex",        "ostream",
                     "random",       "regex",
                     "shared_mutex", "sstream",
                     "stdexcept",    "thread",
                     "unistd.h",     "time.h",
                     "stdio.h",      "stdlib.h",
                     "math.h"};
  for (const auto& include : includes())
    if (include.room == "core" && !include.quoted) {
      EXPECT_FALSE(barred.count(include.path)) << include.file << " includes <" << include.path << ">";
    }
}

TEST(Layering, core_says_nothing_that_differs_between_machines) {
  // The C library's functions differ in the last bit between CPUs; the rest would make core more than a function of its arguments.
  const std::regex barred(
      R"(\bstd::(exp|exp2|expm1|log|log2|log10|log1p|pow|sin|cos|tan|asin|acos|atan|atan2|sinh|cosh|tanh|cbrt|hypot|lgamma|tgamma|erf|erfc|fma|getenv|printf|rand|async|thread|unordered_map|unordered_set)\b|\b(system|steady|high_resolution|utc|file)_clock\b|\b(throw|try|catch|thread_local|getenv|goto)\b)");
  for (const auto& file : source_files("core", {".cpp", ".hpp"})) {
    const std::string code = without_comments(file.text);
    for (std::sregex_iterator it(code.begin(), code.end(), barred), end; it != end; ++it)
      ADD_FAILURE() << file.path << " says " << it->str();
  }
}

// The outside world against which forecasts are scored: were it to share a line with core, both could be wrong together.
TEST(Layering, true_gardens_include_nothing_of_the_program) {
  const std::regex line(R"re(^[ \t]*#[ \t]*include[ \t]*([<"])([^>"]+)[>"])re", std::regex::multiline);
  std::size_t seen = 0;
  for (const auto& file : source_files("tests/gardens", {".cpp", ".hpp"}))
    for (std::sregex_iterator it(file.text.begin(), file.text.end(), line), end; it != end; ++it) {
      const std::string path = (*it)[2];
      ++seen;
      if ((*it)[1] == "\"")
        EXPECT_EQ(path.rfind("tests/gardens/", 0), 0U) << file.path << " includes " << path;
      else
        EXPECT_TRUE(path == "gtest/gtest.h" ||
                    (path.find('/') == std::string::npos && path.find('.') == std::string::npos && path != "random"))
            << file.path << " includes " << path;
    }
  EXPECT_GT(seen, 20U);
}

}  // namespace
}  // namespace leafturn::test
