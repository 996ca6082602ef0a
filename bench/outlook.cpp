// `leafturn outlook` and `leafturn brief` as whole processes, on an invented garden of twelve beds in which three pests are counted every
// week from May on, against the program saying its help (start-up, linking and nothing else).
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "bench/support/bench.hpp"
#include "bench/support/process.hpp"

namespace {

namespace fs = std::filesystem;

double run(std::vector<std::string> words) { return leafturn::bench::run_program(LEAFTURN_PROGRAM, std::move(words)); }

struct Counted {
  const char *pest, *stage, *bed;
  int plants;
};
constexpr Counted counted[] = {{"PIERRA", "egg", "1", 20},   {"PIERRA", "larva", "1", 20}, {"PIERRA", "larva", "2", 20},
                               {"PIERRA", "larva", "4", 20}, {"PIERRA", "larva", "5", 20}, {"MURGHI", "adult", "3", 20},
                               {"MURGHI", "nymph", "3", 20}, {"MURGHI", "adult", "4", 20}, {"MURGHI", "adult", "1", 20},
                               {"LPTNDE", "adult", "6", 20}, {"LPTNDE", "larva", "6", 20}, {"LPTNDE", "egg-mass", "6", 20}};

// The demo's beds, plantings and weather, with counts of our own.
void write_garden(const fs::path& folder, std::uint64_t seed) {
  fs::copy(fs::path(LEAFTURN_SOURCE_DIR) / "demo", folder, fs::copy_options::recursive);
  std::ofstream counts(folder / "counts.csv");
  counts << "time,bed,pest,stage,plants,count,by\n";
  for (const char* day : {"2026-05-04", "2026-05-11", "2026-05-18", "2026-05-25", "2026-06-01", "2026-06-08"})
    for (const Counted& c : counted) {
      seed = seed * 6364136223846793005U + 1442695040888963407U;
      counts << day << "T07:00," << c.bed << "," << c.pest << "," << c.stage << "," << c.plants << "," << (seed >> 33U) % 15 << ",bench\n";
    }
}

}  // namespace

int main(int argc, char** argv) {
  using namespace leafturn;
  const bench::Options options = bench::read_options(argc, argv, "outlook");
  const auto folder = fs::temp_directory_path() / ("leafturn-outlook-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  write_garden(folder / "files", options.seed);
  const std::string garden = (folder / "garden").string();
  if (run({"garden", "import", (folder / "files").string(), "--into", garden}) < 0.0) return 3;

  constexpr int rounds = 5;
  const int runs = options.quick ? 3 : 15;
  std::vector<double> outlook, brief, ratio;
  for (int round = 0; round < rounds; ++round) {
    std::vector<double> looked, briefed, helped;
    for (int i = 0; i < runs; ++i) {
      looked.push_back(run({"outlook", "--garden", garden, "--json"}));
      briefed.push_back(run({"brief", "--garden", garden, "--json"}));
      helped.push_back(run({"--help"}));
    }
    if (*std::min_element(looked.begin(), looked.end()) < 0.0 || *std::min_element(briefed.begin(), briefed.end()) < 0.0) return 3;
    outlook.push_back(bench::median(looked));
    brief.push_back(bench::median(briefed));
    ratio.push_back(bench::median(looked) / bench::median(helped));
  }
  fs::remove_all(folder);

  bench::Results results(options);
  results.figure("outlook_ms", bench::estimate(outlook));
  results.figure("brief_with_filters_ms", bench::estimate(brief));
  results.figure("ratio_to_help", bench::estimate(ratio));
  results.raw("outlook_ms_median_per_round", outlook);
  results.raw("brief_ms_median_per_round", brief);
  results.raw("ratio_per_round", ratio);
  return results.finish();
}
