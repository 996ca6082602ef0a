#include "tests/support/data.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

extern char** environ;

namespace leafturn::test {

namespace fs = std::filesystem;

std::string source_path(const std::string& relative) { return std::string(LEAFTURN_SOURCE_DIR) + "/" + relative; }
std::string build_path(const std::string& relative) { return std::string(LEAFTURN_BINARY_DIR) + "/" + relative; }

std::optional<std::string> shared_data(const std::string& name) {
  const fs::path path = fs::path(LEAFTURN_SOURCE_DIR).parent_path() / "shared/data" / name;
  if (!fs::exists(path)) return std::nullopt;
  return path.string();
}

std::optional<std::string> open_data(const std::string& name) {
  const std::string path = source_path("tests/web/node_modules/vega-datasets/data/" + name);
  if (!fs::exists(path)) return std::nullopt;
  return path;
}

std::string read_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::string fresh_folder(const std::string& name) {
  const fs::path path = fs::path(LEAFTURN_BINARY_DIR) / "test-folders" / name;
  fs::remove_all(path);
  fs::create_directories(path);
  return path.string();
}

Run run_program(const std::string& program, const std::vector<std::string>& arguments, const std::string& input) {
  const std::string base = build_path("test-folders");
  fs::create_directories(base);
  const std::string stem = base + "/run-" + std::to_string(getpid()) + "-" + std::to_string(reinterpret_cast<std::uintptr_t>(&arguments));
  const std::string in = stem + ".in";
  const std::string out = stem + ".out";
  const std::string err = stem + ".err";
  std::ofstream(in, std::ios::binary) << input;

  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 0, in.c_str(), O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 1, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
  posix_spawn_file_actions_addopen(&actions, 2, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
  std::vector<std::string> words{program};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (auto& w : words) argv.push_back(w.data());
  argv.push_back(nullptr);
  pid_t child = 0;
  Run run;
  if (posix_spawn(&child, program.c_str(), &actions, nullptr, argv.data(), environ) != 0) {
    run.exit_code = 127;
  } else {
    int status = 0;
    waitpid(child, &status, 0);
    run.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  }
  posix_spawn_file_actions_destroy(&actions);
  run.out = read_file(out);
  run.err = read_file(err);
  fs::remove(in);
  fs::remove(out);
  fs::remove(err);
  return run;
}

}  // namespace leafturn::test
