/// How many cell-days a second the degree-day kernel does on two threads, against numpy on one thread and against the memory's bandwidth,
/// all three measured in turn in every round so that a busy machine slows all alike.

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <nlohmann/json.hpp>
#include <random>
#include <span>
#include <string>
#include <thread>
#include <vector>

#include "bench/support/bench.hpp"
#include "core/phenology/degree_day_kernel.hpp"

namespace {

using namespace leafturn;

constexpr std::size_t cells = 8'000'000;
constexpr std::size_t threads = 2;

// Runs `work(first, count)` on both halves again and again for about `seconds`; elements done per second.
double rate(double seconds, const std::function<void(std::size_t, std::size_t)>& work) {
  using Clock = std::chrono::steady_clock;
  const auto begun = Clock::now();
  std::vector<std::size_t> passes(threads, 0);
  std::vector<std::thread> crew;
  for (std::size_t t = 0; t < threads; ++t)
    crew.emplace_back([&, t] {
      const std::size_t share = cells / threads;
      do {
        work(t * share, share);
        ++passes[t];
      } while (std::chrono::duration<double>(Clock::now() - begun).count() < seconds);
    });
  for (std::thread& one : crew) one.join();
  const double spent = std::chrono::duration<double>(Clock::now() - begun).count();
  double done = 0.0;
  for (const std::size_t n : passes) done += static_cast<double>(n) * static_cast<double>(cells / threads);
  return done / spent;
}

struct Numpy {
  double cell_days_per_s = 0.0;
  double mean = 0.0;
  std::string version;
};

// The variables pin the linear algebra library of some machines; they have no place in a measurement.
Numpy run_numpy(std::uint64_t seed) {
  const std::string text = bench::output_of("env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE /usr/bin/python3 '" LEAFTURN_SOURCE_DIR
                                            "/bench/support/dd_numpy.py' " +
                                            std::to_string(cells) + " " + std::to_string(seed));
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (json.is_discarded()) {
    std::fputs("leafturn: the numpy baseline did not run (bench/support/dd_numpy.py): apt-get install python3-numpy\n", stderr);
    std::exit(3);
  }
  return {json.at("cell_days_per_s"), json.at("mean"), json.at("numpy")};
}

const char* name(phenology::Lanes lanes) {
  switch (lanes) {
    case phenology::Lanes::baseline:
      return "baseline";
    case phenology::Lanes::avx2:
      return "avx2";
    case phenology::Lanes::avx512:
      return "avx512";
  }
  return "?";
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "degree-day-kernel");
  const int rounds = options.quick ? 5 : 12;
  const double seconds = options.quick ? 0.4 : 1.0;

  std::vector<float> mins(cells);
  std::vector<float> maxs(cells);
  std::vector<float> out(cells);
  std::mt19937_64 random{options.seed};
  std::uniform_real_distribution<float> low{-5.0F, 25.0F};
  std::uniform_real_distribution<float> span{3.0F, 18.0F};
  for (std::size_t i = 0; i < cells; ++i) {
    mins[i] = low(random);
    maxs[i] = mins[i] + span(random);
  }
  const phenology::Thresholds thresholds{Temperature::celsius(10.0), Temperature::celsius(31.0)};
  const std::span<const float> all_mins{mins};
  const std::span<const float> all_maxs{maxs};
  const std::span<float> all_out{out};
  const auto kernel = [&](std::size_t first, std::size_t count) {
    phenology::single_sine_horizontal(all_mins.subspan(first, count), all_maxs.subspan(first, count), thresholds,
                                      all_out.subspan(first, count));
  };
  // Two arrays read and one written, as the kernel does: elements per second are comparable as they stand (McCalpin 1995, STREAM triad).
  const auto triad = [&](std::size_t first, std::size_t count) {
    const float* a = mins.data() + first;
    const float* b = maxs.data() + first;
    float* to = out.data() + first;
    for (std::size_t i = 0; i < count; ++i) to[i] = a[i] + 3.0F * b[i];
  };

  std::vector<double> kernel_rates;
  std::vector<double> triad_rates;
  std::vector<double> numpy_rates;
  std::vector<double> ratios;
  std::vector<double> shares;
  Numpy numpy;
  double mean = 0.0;
  for (int round = 0; round < rounds; ++round) {
    triad_rates.push_back(rate(seconds, triad));
    kernel_rates.push_back(rate(seconds, kernel));
    if (round == 0)
      for (const float value : out) mean += static_cast<double>(value) / static_cast<double>(cells);
    numpy = run_numpy(options.seed + static_cast<std::uint64_t>(round));
    numpy_rates.push_back(numpy.cell_days_per_s);
    ratios.push_back(kernel_rates.back() / numpy.cell_days_per_s);
    shares.push_back(kernel_rates.back() / triad_rates.back());
  }
  // Different random days of one distribution: the means of 8 million agree to a few thousandths, or one of the two is wrong.
  if (std::abs(mean - numpy.mean) > 0.02) {
    std::fprintf(stderr, "leafturn: kernel and numpy disagree (mean %.5f and %.5f degree-days): nothing was measured\n", mean, numpy.mean);
    return 3;
  }

  bench::Results results{options};
  results.figure("cell_days_per_s", bench::estimate(kernel_rates));
  results.figure("numpy_ratio", bench::estimate(ratios));
  results.figure("bandwidth_share", bench::estimate(shares));
  results.raw("cell_days_per_s", kernel_rates);
  results.raw("numpy_cell_days_per_s", numpy_rates);
  results.raw("triad_elements_per_s", triad_rates);
  results.raw("cells", {static_cast<double>(cells)});
  results.raw("threads", {static_cast<double>(threads)});
  results.raw("mean_degree_days", {mean, numpy.mean});
  results.note("lanes", name(phenology::widest_lanes()));
  results.note("numpy", numpy.version);
  return results.finish();
}
