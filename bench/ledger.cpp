// What the ledger costs: durable writes by one and by fifty at once beside the disk's own syncs, and opening a garden of a million events.
#include <fcntl.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>

#include "app/open_garden.hpp"
#include "app/record.hpp"
#include "bench/gardens/long_garden.hpp"
#include "bench/support/bench.hpp"
#include "io/event_json.hpp"

namespace {

using namespace leafturn;
namespace fs = std::filesystem;

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// How often the disk makes a written page durable, one after the other: what any store that keeps its word is bound by.
double syncs_per_s(const std::string& folder, double seconds) {
  const std::string path = folder + "/syncs";
  const int file = ::open(path.c_str(), O_CREAT | O_WRONLY | O_CLOEXEC, 0600);
  const std::string page(4096, 'x');
  int done = 0;
  const auto start = std::chrono::steady_clock::now();
  for (; seconds_since(start) < seconds; ++done)
    if (::pwrite(file, page.data(), page.size(), (done % 500) * 4096) < 0 || ::fdatasync(file) != 0) break;
  const double rate = done / seconds_since(start);
  ::close(file);
  fs::remove(path);
  return rate;
}

/// Counts written down through app::record by so many at once, each waiting for its receipt.
double writes_per_s(app::OpenGarden& garden, int clients, double seconds, std::uint64_t seed) {
  std::atomic<bool> stop{false};
  std::atomic<std::uint64_t> written{0};
  const Instant now = *Instant::parse("2026-08-20T12:00:00Z");
  const auto write = [&](int client) {
    const std::string writer = "bench " + std::to_string(seed) + "-" + std::to_string(clients) + "-" + std::to_string(client);
    for (std::uint64_t n = 1; !stop; ++n) {
      std::array<std::uint8_t, 10> tail{};
      // The first three bytes share their bits with the id's version and variant.
      for (std::size_t i = 0; i < 4; ++i) tail[3 + i] = static_cast<std::uint8_t>(n >> (8 * i));
      tail[7] = static_cast<std::uint8_t>(client);
      tail[8] = static_cast<std::uint8_t>(clients);
      tail[9] = static_cast<std::uint8_t>(seed);
      const garden::Event event{{Id::version7(1'787'000'000'000 + seed, tail), writer, n, now, "lead"},
                                garden::CountTaken{std::to_string(1 + client % 60), "PIERRA", "egg", 10, 1}};
      if (!app::record(garden, io::encode_event(event), now)) return;
      ++written;
    }
  };
  const auto start = std::chrono::steady_clock::now();
  std::vector<std::thread> threads;
  for (int client = 0; client < clients; ++client) threads.emplace_back(write, client);
  std::this_thread::sleep_for(std::chrono::duration<double>(seconds));
  stop = true;
  for (auto& thread : threads) thread.join();
  return static_cast<double>(written) / seconds_since(start);
}

double resident_mb() {
  std::ifstream statm("/proc/self/statm");
  double total = 0.0, resident = 0.0;
  statm >> total >> resident;
  return resident * static_cast<double>(::sysconf(_SC_PAGESIZE)) / 1e6;
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "ledger");
  constexpr std::uint64_t events = 1'000'000;
  const int rounds = options.quick ? 3 : 7;
  // Beside the program, not under /tmp, which may be memory: a sync there costs nothing.
  const auto folder = (fs::current_path() / ("leafturn-ledger-bench-" + std::to_string(::getpid()))).string();
  if (const auto made = bench::write_long_garden(folder, events, options.seed); !made) return 1;

  bench::Results results(options);
  const auto first_start = std::chrono::steady_clock::now();
  {
    const auto garden = app::OpenGarden::open(folder);
    if (!garden || !(*garden)->chronicle()) return 1;
    results.figure("first_open_s", {seconds_since(first_start), 0.0});
  }  // waits for the snapshot
  std::vector<double> open_s, one, fifty, syncs;
  double memory = 0.0;
  for (int round = 0; round < rounds; ++round) {
    const auto start = std::chrono::steady_clock::now();
    auto garden = app::OpenGarden::open(folder);
    if (!garden || !(*garden)->chronicle()) return 1;
    open_s.push_back(seconds_since(start));
    memory = std::max(memory, resident_mb());
    const std::uint64_t seed = options.seed * 100 + static_cast<std::uint64_t>(round);
    syncs.push_back(syncs_per_s(folder, 1.0));
    one.push_back(writes_per_s(**garden, 1, 1.5, seed));
    fifty.push_back(writes_per_s(**garden, 50, 1.5, seed));
  }
  fs::remove_all(folder);
  results.figure("events", {static_cast<double>(events), 0.0});
  results.figure("open_s", bench::estimate(open_s));
  results.figure("open_rss_mb", {memory, 0.0});
  results.figure("fsync_per_s", bench::estimate(syncs));
  results.figure("writes_per_s_1", bench::estimate(one));
  results.figure("writes_per_s_50", bench::estimate(fifty));
  for (const auto& [name, values] : {std::pair{"open_s", open_s}, std::pair{"fsync_per_s", syncs}, std::pair{"writes_per_s_1", one},
                                     std::pair{"writes_per_s_50", fifty}})
    results.raw(name, values);
  return results.finish();
}
