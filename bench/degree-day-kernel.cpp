/// How many cell-days a second the degree-day kernel does on two threads, against numpy on one thread and against the memory's bandwidth;
/// and the same of hourly rate summation (Brière-1), against what the processor's multipliers, its square roots and its memory could do at
/// most. All are measured in turn in every round so that a busy machine slows all alike.

#include <algorithm>
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
#include "bench/support/peaks.hpp"
#include "core/phenology/degree_day_kernel.hpp"
#include "core/phenology/rate_sum_kernel.hpp"

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

// Runs `work(thread)` on every thread again and again for about `seconds`; `amount` a call, together per second.
double per_second(double seconds, double amount, const std::function<void(std::size_t)>& work) {
  using Clock = std::chrono::steady_clock;
  const auto begun = Clock::now();
  std::vector<std::size_t> passes(threads, 0);
  std::vector<std::thread> crew;
  for (std::size_t t = 0; t < threads; ++t)
    crew.emplace_back([&, t] {
      do {
        work(t);
        ++passes[t];
      } while (std::chrono::duration<double>(Clock::now() - begun).count() < seconds);
    });
  for (std::thread& one : crew) one.join();
  const double spent = std::chrono::duration<double>(Clock::now() - begun).count();
  double done = 0.0;
  for (const std::size_t n : passes) done += static_cast<double>(n) * amount;
  return done / spent;
}

// The extremes of a region as [day][site], each thread its half of the sites in tiles whose sums stay in the nearest cache.
struct Region {
  std::span<const float> mins, maxs;
  std::size_t sites = 0, days = 0, pests = 1;
};

constexpr std::size_t tile = 2048;

double rate_sum_speed(double seconds, const Region& region) {
  std::vector<pest::BriereRate> pests;
  for (std::size_t p = 0; p < region.pests; ++p)
    pests.push_back({7.86e-5, Temperature::celsius(11.36 - 0.1 * static_cast<double>(p)), Temperature::celsius(39.17), 2.0, {}});
  const std::size_t share = region.sites / threads;
  std::vector<std::vector<float>> sums(threads, std::vector<float>(tile * region.pests));
  const auto work = [&](std::size_t thread) {
    const std::span<float> mine{sums[thread]};
    for (std::size_t first = thread * share; first < (thread + 1) * share; first += tile) {
      const std::size_t count = std::min(tile, (thread + 1) * share - first);
      std::fill(mine.begin(), mine.end(), 0.0F);
      for (std::size_t day = 0; day < region.days; ++day)
        for (std::size_t p = 0; p < region.pests; ++p)
          phenology::add_briere_day(region.mins.subspan(day * region.sites + first, count),
                                    region.maxs.subspan(day * region.sites + first, count), pests[p], mine.subspan(p * tile, count));
    }
  };
  return per_second(seconds, static_cast<double>(share * region.days * region.pests), work);
}

struct Numpy {
  double cell_days_per_s = 0.0;
  double mean = 0.0;
  double rate_sum_cell_days_per_s = 0.0;
  double rate_sum_mean = 0.0;
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
  return {json.at("cell_days_per_s"), json.at("mean"), json.at("rate_sum_cell_days_per_s"), json.at("rate_sum_mean"), json.at("numpy")};
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

  const Region region{all_mins, all_maxs, 100'000, cells / 100'000, 1};
  constexpr double bytes_read = 2.0 * sizeof(float);  // of a cell, where the sums stay in the cache and one pest is asked
  std::vector<double> sum_rates;
  std::vector<double> sum_ratios;
  std::vector<double> sum_shares;
  std::vector<double> operation_peaks;
  std::vector<double> root_peaks;
  std::vector<double> read_peaks;
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

    sum_rates.push_back(rate_sum_speed(seconds, region));
    operation_peaks.push_back(per_second(0.25 * seconds, bench::operations_a_call, [](std::size_t) { bench::multiply_and_add(); }));
    root_peaks.push_back(per_second(0.25 * seconds, bench::roots_a_call, [](std::size_t) { bench::square_roots(); }));
    read_peaks.push_back(triad_rates.back() * 3.0 * sizeof(float));
    sum_ratios.push_back(sum_rates.back() / numpy.rate_sum_cell_days_per_s);
    // Cells a second if one of the three were all there is; the least of them is the bound.
    const double bound = std::min({operation_peaks.back() / phenology::briere_day_simple_operations,
                                   root_peaks.back() / phenology::briere_day_roots, read_peaks.back() / bytes_read});
    sum_shares.push_back(sum_rates.back() / bound);
  }
  // Different random days of one distribution: the means of 8 million agree to a few thousandths, or one of the two is wrong.
  if (std::abs(mean - numpy.mean) > 0.02) {
    std::fprintf(stderr, "leafturn: kernel and numpy disagree (mean %.5f and %.5f degree-days): nothing was measured\n", mean, numpy.mean);
    return 3;
  }

  std::vector<float> one_day(1'000'000, 0.0F);
  phenology::add_briere_day(all_mins.first(one_day.size()), all_maxs.first(one_day.size()),
                            {7.86e-5, Temperature::celsius(11.36), Temperature::celsius(39.17), 2.0, {}}, one_day);
  double rate_mean = 0.0;
  for (const float value : one_day) rate_mean += static_cast<double>(value) / static_cast<double>(one_day.size());
  if (std::abs(rate_mean - numpy.rate_sum_mean) > 2e-4) {
    std::fprintf(stderr, "leafturn: kernel and numpy disagree (mean rate %.6f and %.6f a day): nothing was measured\n", rate_mean,
                 numpy.rate_sum_mean);
    return 3;
  }

  // How it grows: cell-days a second stay the same when the work is in proportion to sites, days and pests.
  const double growth_seconds = 0.5 * seconds;
  std::vector<double> by_sites;
  std::vector<double> by_days;
  std::vector<double> by_pests;
  const std::vector<double> sites{1'000, 10'000, 100'000, 400'000};
  const std::vector<double> days{5, 20, 80};
  const std::vector<double> pests{1, 4, 16};
  for (const double n : sites) by_sites.push_back(rate_sum_speed(growth_seconds, {all_mins, all_maxs, static_cast<std::size_t>(n), 20, 1}));
  for (const double n : days)
    by_days.push_back(rate_sum_speed(growth_seconds, {all_mins, all_maxs, 100'000, static_cast<std::size_t>(n), 1}));
  for (const double n : pests)
    by_pests.push_back(rate_sum_speed(growth_seconds, {all_mins, all_maxs, 100'000, 80, static_cast<std::size_t>(n)}));
  const double operation_bound = bench::estimate(operation_peaks).mean / phenology::briere_day_simple_operations;
  const double root_bound = bench::estimate(root_peaks).mean / phenology::briere_day_roots;
  const double read_bound = bench::estimate(read_peaks).mean / bytes_read;
  const char* binds = "reading both extremes from memory";
  if (root_bound < std::min(operation_bound, read_bound))
    binds = "the square roots: twelve a cell-day, and the divider is not pipelined as multiplying is";
  if (operation_bound < std::min(root_bound, read_bound))
    binds = "multiplying, adding and comparing: over a hundred a cell-day for eight bytes read";

  bench::Results results{options};
  results.figure("rate_sum_cell_days_per_s", bench::estimate(sum_rates));
  results.figure("rate_sum_numpy_ratio", bench::estimate(sum_ratios));
  results.figure("rate_sum_bound_share", bench::estimate(sum_shares));
  results.raw("rate_sum_cell_days_per_s", sum_rates);
  results.raw("rate_sum_bounds_operations_roots_memory", {operation_bound, root_bound, read_bound});
  results.raw("rate_sum_sites", sites);
  results.raw("rate_sum_by_sites", by_sites);
  results.raw("rate_sum_days", days);
  results.raw("rate_sum_by_days", by_days);
  results.raw("rate_sum_pests", pests);
  results.raw("rate_sum_by_pests", by_pests);
  results.note("rate_sum_bound", binds);
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
