// `leafturn brief` on the demo garden as a whole process, against the same program saying its help (start-up, linking and nothing else).
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "bench/support/bench.hpp"
#include "bench/support/process.hpp"

namespace {

double run(std::vector<std::string> words) { return leafturn::bench::run_program(LEAFTURN_PROGRAM, std::move(words)); }

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
    brief.push_back(bench::median(with));
    ratio.push_back(bench::median(with) / bench::median(without));
  }
  std::filesystem::remove_all(folder);

  bench::Results results(options);
  results.figure("brief_ms", bench::estimate(brief));
  results.figure("ratio_to_help", bench::estimate(ratio));
  results.raw("brief_ms_median_per_round", brief);
  results.raw("ratio_per_round", ratio);
  return results.finish();
}
