/// A whole season of the population model and its filter: twelve beds, three pests, 4,096 members, 180 days of hourly temperatures, on
/// every third day one bed, each in its turn, counted for every pest; on two threads. Against what the processor could do at most for the
/// operations that the published formula needs, and against the same chains in SciPy. All are measured in turn in every round so that a
/// busy machine slows all alike.

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

#include <unistd.h>

#include "bench/support/beds_season.hpp"
#include "bench/support/bench.hpp"
#include "bench/support/peaks.hpp"
#include "core/phenology/felt.hpp"
#include "io/dossier_toml.hpp"

namespace {

using namespace leafturn;
using namespace leafturn::population;
using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point begun) { return std::chrono::duration<double>(Clock::now() - begun).count(); }

/// Multiplications, subtractions and additions of dQ_i/dt = (k/DEL)(Q_(i-1) − Q_i) stepped once an hour: one of each a substage.
constexpr double operations_an_hour = 3.0;

double published_operations(const bench::BedsSeason& season) {
  return season.member_substages() * 24.0 * season.size().days * operations_an_hour;
}

/// Operations a second of two threads that do nothing but multiply and add, for about `seconds`.
double peak_operations(double seconds) {
  std::vector<double> calls(2, 0.0);
  const auto begun = Clock::now();
  const auto work = [&](double& count) {
    do {
      bench::multiply_and_add();
      ++count;
    } while (seconds_since(begun) < seconds);
  };
  std::thread other{work, std::ref(calls[1])};
  work(calls[0]);
  other.join();
  return (calls[0] + calls[1]) * bench::operations_a_call / seconds_since(begun);
}

/// Bytes a second of two threads that read two arrays from memory and write a third (McCalpin 1995, STREAM triad).
double peak_bytes(double seconds, std::vector<float>& memory) {
  const std::size_t third = memory.size() / 3;
  std::vector<double> bytes(2, 0.0);
  const auto begun = Clock::now();
  const auto work = [&](std::size_t thread) {
    const std::size_t share = third / 2;
    const float* a = memory.data() + thread * share;
    const float* b = a + third;
    float* to = memory.data() + 2 * third + thread * share;
    do {
      for (std::size_t i = 0; i < share; ++i) to[i] = a[i] + 3.0F * b[i];
      bytes[thread] += 3.0 * sizeof(float) * static_cast<double>(share);
    } while (seconds_since(begun) < seconds);
  };
  std::thread other{work, 1};
  work(0);
  other.join();
  return (bytes[0] + bytes[1]) / seconds_since(begun);
}

/// The season from hourly temperatures and counts to filters that stand on its last day.
std::vector<Filter> run_season(const bench::BedsSeason& season, double& seconds) {
  const auto begun = Clock::now();
  std::vector<Filter> filters;
  for (std::size_t p = 0; p < season.size().pests; ++p) {
    filters.emplace_back(season.setup(p, bench::two_threads()));
    filters.back().fold(season.counts(p));
  }
  seconds = seconds_since(begun);
  return filters;
}

double season_seconds(const pest::Library& library, const bench::SeasonSize& size, std::uint64_t seed) {
  const bench::BedsSeason season{library, size, seed};
  double seconds = 0.0;
  run_season(season, seconds);
  return seconds;
}

/// Milliseconds of folding one new count and forecasting every bed day by day, the mean over the pests.
double refold(const bench::BedsSeason& season, std::vector<Filter>& filters, std::size_t bed) {
  const auto begun = Clock::now();
  for (std::size_t p = 0; p < filters.size(); ++p) {
    const Sighting count = season.another(p, bed);
    filters[p].fold(std::span<const Sighting>(&count, 1));
    const Paths paths = filters[p].paths(season.size().days, season.size().days + season.size().ahead);
    if (!(paths.at(paths.days() - 1, bed, 0)[0] >= 0.0F)) std::exit(3);
  }
  return 1e3 * seconds_since(begun) / static_cast<double>(filters.size());
}

/// The kernel alone: the season's chains, deaths and laying without turn and filter.
double kernel_seconds(const bench::BedsSeason& season) {
  double seconds = 0.0;
  for (std::size_t p = 0; p < season.size().pests; ++p) {
    const Life& life = season.life(p);
    const Setup setup = season.setup(p, bench::two_threads());
    Ensemble state(setup.members, season.size().beds, life.substages);
    const auto begun = Clock::now();
    std::vector<Run> runs;
    for (std::int32_t day = 0; day < season.size().days; ++day)
      runs.push_back(run_of(life, setup.futures.front().steps.day(setup.world.first + Days{day})));
    setup.workers(state.blocks(), [&](std::size_t block) {
      const std::vector<float> hazard(life.stages.size() * lanes, 0.12F);
      const std::vector<float> young(lanes, 1.0F);
      std::vector<float> laid(lanes);
      for (std::size_t bed = 0; bed < season.size().beds; ++bed) {
        std::fill(state.bed(block, bed).begin(), state.bed(block, bed).end(), 1.0F);
        for (const Run& run : runs) {
          advance_block({&life, &run, hazard, young, laid, 0.0F, {}, state.bed(block, bed)}, setup.lanes);
          flush_tiny(state.bed(block, bed), setup.lanes);
        }
      }
    });
    seconds += seconds_since(begun);
  }
  return seconds;
}

struct Scipy {
  double seconds = 0.0, scaled_seconds = 0.0, evaluations = 0.0, worst = 0.0;
  std::string version;
};

/// One bed, one pest, few members and days in SciPy, held against the kernel's numbers; its time scaled to the season's members, substages
/// and days.
Scipy run_scipy(const bench::BedsSeason& season, std::size_t pest, std::size_t members, std::int32_t days) {
  const Life& life = season.life(pest);
  const Date first = season.air().first + Days{40};
  nlohmann::json ask{{"days", days}, {"young", 8.0}, {"start", 5.0}};
  std::vector<double> deaths;
  for (const LifeStage& stage : life.stages) {
    ask["counts"].push_back(stage.count);
    deaths.push_back(0.02 + stage.loss_per_day);
  }
  ask["deaths"] = deaths;
  for (std::size_t m = 0; m < members; ++m) ask["members"].push_back(0.5 + static_cast<double>(m) / static_cast<double>(members));
  phenology::Felt felt{*life.dossier, season.air()};
  for (std::int32_t day = 0; day < days; ++day)
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const auto rates = felt.rates(first + Days{day}, hour);
      ask["rates"].push_back(std::vector<double>(rates.begin(), rates.end()));
    }
  const auto file = std::filesystem::temp_directory_path() / ("leafturn-population-" + std::to_string(::getpid()) + ".json");
  std::ofstream(file) << ask;
  // The variables pin the linear algebra library of some machines; they have no place in a measurement.
  const auto json =
      nlohmann::json::parse(bench::output_of("env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE /usr/bin/python3 '" LEAFTURN_SOURCE_DIR
                                             "/bench/support/population_scipy.py' '" +
                                             file.string() + "'"),
                            nullptr, false);
  std::filesystem::remove(file);
  if (json.is_discarded()) {
    std::fputs("leafturn: the SciPy baseline did not run (bench/support/population_scipy.py): apt-get install python3-scipy\n", stderr);
    std::exit(3);
  }
  Scipy out;
  out.seconds = json.at("seconds");
  out.evaluations = json.at("evaluations");
  out.version = json.at("scipy").get<std::string>() + ", numpy " + json.at("numpy").get<std::string>();
  out.scaled_seconds = out.seconds * season.member_substages() * season.size().days / static_cast<double>(life.substages * members) / days;

  const StepTable steps = steps_of(life, season.air(), first, first + Days{days - 1});
  for (std::size_t block = 0; block < members / lanes; ++block) {
    Lanes16 x(life.substages * lanes);
    std::vector<float> hazard, young(lanes, 8.0F), laid(lanes), totals(life.stages.size() * lanes);
    for (std::size_t s = 0; s < life.stages.size(); ++s)
      for (std::size_t l = 0; l < lanes; ++l) {
        x[life.stages[s].first * lanes + l] = 5.0F;
        hazard.push_back(static_cast<float>(deaths[s] * (0.5 + static_cast<double>(block * lanes + l) / static_cast<double>(members))));
      }
    for (std::int32_t day = 0; day < days; ++day) {
      const Run run = run_of(life, steps.day(first + Days{day}));
      advance_block({&life, &run, hazard, young, laid, 0.0F, {}, x}, widest_lanes());
    }
    stage_totals(life, x, totals, widest_lanes());
    for (std::size_t l = 0; l < lanes; ++l) {
      double total = 0.0;
      for (std::size_t s = 0; s < life.stages.size(); ++s) total += static_cast<double>(totals[s * lanes + l]);
      out.worst = std::max(out.worst, std::abs(total / json.at("totals").at(block * lanes + l).get<double>() - 1.0));
    }
  }
  return out;
}

/// The most this process has had in memory, MB; 0 where the system doesn't say.
double most_memory_mb() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);)
    if (line.rfind("VmHWM:", 0) == 0) return std::strtod(line.c_str() + 6, nullptr) / 1024.0;
  return 0.0;
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "population");
  const int rounds = options.quick ? 3 : 8;
  const auto library = io::built_in_library();
  if (!library) return 3;

  std::vector<double> season_s, kernel_s, bound_shares, kernel_shares, scipy_s, scipy_ratios, scipy_misses, refolds, operation_peaks,
      byte_peaks;
  std::vector<double> scipy_parts;
  std::string scipy_version;
  double rss = 0.0, operations = 0.0, bytes = 0.0;
  for (int round = 0; round < rounds; ++round) {
    const bench::BedsSeason season{*library, {}, options.seed + static_cast<std::uint64_t>(round)};
    operations = published_operations(season);
    // Every bed is read and written once between two counts, if it stays in the nearest cache in between.
    bytes = season.member_substages() * 2.0 * sizeof(float) * season.size().days / 3.0;
    {
      double seconds = 0.0;
      std::vector<Filter> filters = run_season(season, seconds);
      season_s.push_back(seconds);
      for (std::size_t bed = 0; bed < 2; ++bed) refolds.push_back(refold(season, filters, bed));
      if (round == 0) rss = most_memory_mb();  // before anything but the season needs memory
    }
    kernel_s.push_back(kernel_seconds(season));
    operation_peaks.push_back(peak_operations(0.25));
    std::vector<float> memory(30'000'000, 1.0F);
    byte_peaks.push_back(peak_bytes(0.25, memory));
    const double bound = std::max(operations / operation_peaks.back(), bytes / byte_peaks.back());
    bound_shares.push_back(bound / season_s.back());
    kernel_shares.push_back(bound / kernel_s.back());
    const Scipy scipy = run_scipy(season, static_cast<std::size_t>(round) % season.size().pests, 64, 6);
    if (scipy.worst > 0.02) {
      std::fprintf(stderr, "leafturn: kernel and SciPy disagree (totals differ by %.1f %%): nothing was measured\n", 100.0 * scipy.worst);
      return 3;
    }
    scipy_version = scipy.version;
    scipy_parts.push_back(scipy.seconds);
    scipy_s.push_back(scipy.scaled_seconds);
    scipy_misses.push_back(scipy.worst);
    scipy_ratios.push_back(scipy.scaled_seconds / season_s.back());
  }

  // How it grows: seconds in proportion to beds, pests, members and days.
  std::vector<double> by_beds, by_pests, by_members, by_days;
  const std::vector<double> beds{3, 6, 12}, pests{1, 2, 3}, members{512, 1024, 2048, 4096}, days{45, 90, 180};
  for (const double n : beds)
    by_beds.push_back(season_seconds(*library, {.beds = static_cast<std::size_t>(n), .members = 1024}, options.seed));
  for (const double n : pests)
    by_pests.push_back(season_seconds(*library, {.pests = static_cast<std::size_t>(n), .members = 1024}, options.seed));
  for (const double n : members) by_members.push_back(season_seconds(*library, {.members = static_cast<std::size_t>(n)}, options.seed));
  for (const double n : days)
    by_days.push_back(season_seconds(*library, {.members = 1024, .days = static_cast<std::int32_t>(n)}, options.seed));

  const double all_counted = season_seconds(*library, {.beds_a_walk = 12}, options.seed);

  bench::Results results{options};
  results.figure("season_s", bench::estimate(season_s));
  results.figure("bound_share", bench::estimate(bound_shares));
  results.figure("scipy_ratio", bench::estimate(scipy_ratios));
  results.figure("refold_ms", bench::estimate(refolds));
  results.figure("rss_mb", {rss, 0.0});
  results.raw("season_s", season_s);
  results.raw("season_s_every_bed_counted", {all_counted});
  results.raw("kernel_alone_s", kernel_s);
  results.raw("kernel_alone_bound_share", kernel_shares);
  results.raw("refold_ms", refolds);
  results.raw("scipy_measured_s", scipy_parts);
  results.raw("scipy_scaled_s", scipy_s);
  results.raw("scipy_largest_difference_of_totals", scipy_misses);
  results.raw("published_operations", {operations});
  results.raw("bytes_at_least", {bytes});
  results.raw("peak_operations_per_s", operation_peaks);
  results.raw("peak_bytes_per_s", byte_peaks);
  results.raw("beds", beds);
  results.raw("season_s_by_beds_1024_members", by_beds);
  results.raw("pests", pests);
  results.raw("season_s_by_pests_1024_members", by_pests);
  results.raw("members", members);
  results.raw("season_s_by_members", by_members);
  results.raw("days", days);
  results.raw("season_s_by_days_1024_members", by_days);
  results.note(
      "season",
      "12 beds x 3 pests (cabbage-aphid, diamondback-moth, imported-cabbageworm) x 4096 members x 180 days; on every third day one bed, "
      "each "
      "in its turn, is counted for every pest (season_s_every_bed_counted: all twelve beds on each of those days); two threads; timed from "
      "hourly temperatures and counts to filters that stand on the last day");
  results.note(
      "bound",
      "published_operations: 3 (one multiplication, one subtraction, one addition) x substages x hours x days x beds x members, what "
      "dQ_i/dt = (k/DEL)(Q_(i-1) - Q_i) needs when stepped once an hour; deaths, laying, movement, arrivals, enemies, chance and the "
      "filter are not counted, though they take part in season_s. bound_share = least time for them at the peak measured in the same "
      "round (two threads multiplying and adding in registers, not fused) or for bytes_at_least at the triad's rate, whichever is "
      "longer, over season_s. The model takes longer steps than an hour, so the share may pass 1");
  results.note(
      "scipy",
      "solve_ivp (RK45, its own tolerances) of the same chains with deaths and laying, vectorised over 64 members, one bed, one pest "
      "(another each round), 6 days, one thread; scaled in proportion to members x beds x substages x days. SciPy " +
          scipy_version + ". It does not do movement, arrivals, enemies, chance or the filter, which season_s includes");
  results.note("refold", "one new count of one bed folded and all beds forecast day by day for 21 days, a pest; mean over the three");
  return results.finish();
}
