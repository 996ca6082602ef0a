// Documents are tests: every `leafturn …` line in a ```sh block of these documents is run, in order, in one fresh folder.
#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

namespace fs = std::filesystem;

struct Line {
  int number = 0;
  std::string command;
};

/// Command lines of the ```sh blocks; a line that ends in a backslash goes on in the next.
std::vector<Line> commands_in(const std::string& document) {
  std::vector<Line> found;
  std::istringstream lines(document);
  std::string line;
  bool inside = false;
  bool goes_on = false;
  for (int number = 1; std::getline(lines, line); ++number) {
    if (line.rfind("```", 0) == 0) {
      inside = !inside && line == "```sh";
      goes_on = false;
      continue;
    }
    if (!inside) continue;
    if (goes_on) {
      found.back().command += "\n" + line;
    } else if (line.rfind("leafturn ", 0) == 0) {
      found.push_back({number, line});
    } else {
      continue;
    }
    goes_on = !line.empty() && line.back() == '\\';
  }
  return found;
}

/// `# exit 1` at a line's end says which exit code is the right one.
int wanted_exit(const std::string& command) {
  const std::size_t mark = command.rfind("# exit ");
  return mark == std::string::npos ? 0 : command[mark + 7] - '0';
}

void run_document(const std::string& name, std::size_t least) {
  const auto commands = commands_in(read_file(source_path(name)));
  ASSERT_GE(commands.size(), least) << name << " has too few commands to be the document we know";
  const std::string folder = fresh_folder("documents-" + fs::path(name).stem().string());
  // Examples may read the demo's own files.
  fs::create_directory_symlink(source_path("demo"), folder + "/demo");
  const std::string place =
      "cd '" + folder + "' && PATH='" + fs::path(LEAFTURN_PROGRAM).parent_path().string() + "':\"$PATH\" && export PATH && ";
  for (const auto& [number, command] : commands) {
    if (command.rfind("leafturn serve", 0) == 0) continue;          // never ends; tests/server holds it to its word
    if (command.rfind("leafturn weather fetch", 0) == 0) continue;  // asks the world; weather_fetch_test.cpp has a server for it
    const test::Run run = run_program("/bin/sh", {"-c", place + command});
    EXPECT_EQ(run.exit_code, wanted_exit(command)) << name << ", line " << number << ": " << command << "\n" << run.err;
    EXPECT_FALSE(run.out.empty() && run.err.empty()) << name << ", line " << number << ": " << command << " said nothing";
  }
}

TEST(Documents, commands_are_found_in_sh_blocks_only) {
  const auto found = commands_in("leafturn a\n```sh\n./start\nleafturn b \\\n  --c\nleafturn d # exit 1\n```\n```\nleafturn e\n```\n");
  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0].command, "leafturn b \\\n  --c");
  EXPECT_EQ(found[0].number, 4);
  EXPECT_EQ(wanted_exit(found[0].command), 0);
  EXPECT_EQ(wanted_exit(found[1].command), 1);
}

TEST(Documents, the_readmes_commands_work) { run_document("README.md", 6); }

TEST(Documents, the_command_pages_examples_work) { run_document("docs/commands.md", 15); }

}  // namespace
}  // namespace leafturn::test
