// `leafturn brief` on the demo garden as a whole process, against the same program saying its help (start-up, linking and nothing else).
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "bench/support/bench.hpp"

extern char** environ;

namespace {

// Milliseconds from start to end of the process; its output goes nowhere. Negative when it failed.
double run(std::vector<std::string> words) {
  words.insert(words.begin(), LEAFTURN_PROGRAM);
  std::vector<char*> argv;
  for (auto& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", 1, 0);
  const auto start = std::chrono::steady_clock::now();
  pid_t child = 0;
  int status = -1;
  if (posix_spawn(&child, argv[0], &actions, nullptr, argv.data(), environ) == 0) waitpid(child, &status, 0);
  const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
  posix_spawn_file_actions_destroy(&actions);
  return status == 0 ? took.count() : -1.0;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

}  // namespace

int main(int argc, char** argv) {
  using namespace leafturn;
  const bench::Options options = bench::read_options(argc, argv, "brief");
  const auto folder = std::filesystem::temp_directory_path() / ("leafturn-brief-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const std::string garden = (folder / "garden").string();
  if (run({"demo", garden}) < 0.0) return 3;

  constexpr int rounds = 5;
  const int runs = options.quick ? 9 : 41;
  std::vector<double> brief;
  std::vector<double> ratio;
  for (int round = 0; round < rounds; ++round) {
    std::vector<double> with;
    std::vector<double> without;
    for (int i = 0; i < runs; ++i) {
      with.push_back(run({"brief", "--garden", garden}));
      without.push_back(run({"--help"}));
    }
    if (*std::min_element(with.begin(), with.end()) < 0.0) return 3;
    brief.push_back(median(with));
    ratio.push_back(median(with) / median(without));
  }
  std::filesystem::remove_all(folder);

  bench::Results results(options);
  results.figure("brief_ms", bench::estimate(brief));
  results.figure("ratio_to_help", bench::estimate(ratio));
  results.raw("brief_ms_median_per_round", brief);
  results.raw("ratio_per_round", ratio);
  return results.finish();
}
