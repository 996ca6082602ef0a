// A ledger of a million events, and fifty people at once on it: `leafturn serve` as a whole process, over real sockets, on this machine's
// own cores, which the fifty share with it.
//
// Mixed: every person goes round brief, bed, board, garden and events, one in five of what they do is a write (half of those a count), with
// a rest of 200 ms on average between two things (exponential). Writing: every person writes harvests and work without rest.
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <random>
#include <thread>

#include "bench/crowd/wire.hpp"
#include "bench/crowd/years.hpp"
#include "bench/support/bench.hpp"
#include "bench/support/process.hpp"

namespace {

using namespace leafturn;
using Clock = std::chrono::steady_clock;

constexpr std::size_t people = 50, open_pages = 200;
constexpr double rest_s = 0.2;

double seconds_since(Clock::time_point began) { return std::chrono::duration<double>(Clock::now() - began).count(); }

double quantile(std::vector<double> values, double p) {
  if (values.empty()) return -1.0;
  const auto at =
      static_cast<std::ptrdiff_t>(std::min(std::ceil(p * static_cast<double>(values.size())), static_cast<double>(values.size())) - 1.0);
  std::nth_element(values.begin(), values.begin() + std::max<std::ptrdiff_t>(at, 0), values.end());
  return values[static_cast<std::size_t>(std::max<std::ptrdiff_t>(at, 0))];
}

struct Tally {
  std::mutex mutex;
  std::vector<double> reads_ms, writes_ms;
  std::map<std::string, std::vector<double>> by_question;
  std::atomic<std::uint64_t> errors{0};
  std::string first_error;
  std::atomic<std::uint64_t> written{0};
};

/// Each writer's own numbers go on over all phases: ids and places are never used twice.
struct Numbers {
  std::uint64_t seed;
  std::vector<std::uint64_t> of = std::vector<std::uint64_t>(people, 0);
  std::string event(std::size_t person, int kind) { return bench::phone_event(person + 1, ++of[person], kind, seed); }
};

void crowd(std::size_t n, const std::function<void(std::size_t)>& one) {
  std::vector<std::jthread> threads;
  for (std::size_t i = 0; i < n; ++i) threads.emplace_back([&one, i] { one(i); });
}

/// Durable writes a second by so many people at once.
double write_rate(const bench::Server& server, Numbers& numbers, std::size_t writers, double seconds, Tally& tally) {
  const std::uint64_t before = tally.written;
  const auto began = Clock::now();
  crowd(writers, [&](std::size_t person) {
    bench::Wire wire(server.port());
    while (seconds_since(began) < seconds) {
      if (wire.post("/api/events", numbers.event(person, static_cast<int>(numbers.of[person] % 2))) == 201) {
        ++tally.written;
      } else {
        ++tally.errors;
        return;
      }
    }
  });
  return static_cast<double>(tally.written - before) / seconds_since(began);
}

void read_and_write(const bench::Server& server, Numbers& numbers, double seconds, double rest, Tally& tally) {
  const auto began = Clock::now();
  crowd(people, [&](std::size_t person) {
    std::mt19937_64 random{numbers.seed * 7919 + person};
    std::exponential_distribution<double> pause(1.0 / std::max(rest, 1e-9));
    bench::Wire wire(server.port());
    const auto question = [&](std::uint64_t which) -> std::pair<const char*, std::string> {
      switch (which) {
        case 0:
          return {"brief", "/api/brief"};
        case 1:
          return {"bed", "/api/beds/" + std::to_string(random() % 12 + 1)};
        case 2:
          return {"board", "/api/board"};
        case 3:
          return {"garden", "/api/garden"};
        default:
          return {"events", "/api/events?from=" + std::to_string(random() % 1'000'000 + 1)};
      }
    };
    if (rest > 0.0) std::this_thread::sleep_for(std::chrono::duration<double>(pause(random)));
    while (seconds_since(began) < seconds) {
      const auto start = Clock::now();
      const bool writes = random() % 5 == 0;
      const auto [name, target] = question(random() % 5);
      const int status = writes ? wire.post("/api/events", numbers.event(person, random() % 2 == 0 ? 2 : static_cast<int>(random() % 2)))
                                : wire.get(target);
      const double ms = seconds_since(start) * 1000.0;
      {
        const std::lock_guard lock(tally.mutex);
        if (status != (writes ? 201 : 200) && tally.errors++ == 0)
          tally.first_error = (writes ? "POST" : target) + " " + std::to_string(status) + " " + wire.body().substr(0, 300);
        (writes ? tally.writes_ms : tally.reads_ms).push_back(ms);
        if (!writes) tally.by_question[name].push_back(ms);
      }
      if (status == 0) return;
      if (rest > 0.0) std::this_thread::sleep_for(std::chrono::duration<double>(pause(random)));
    }
  });
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "load");
  const auto folder = std::filesystem::temp_directory_path() / ("leafturn-load-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const std::string garden = (folder / "garden").string();
  const std::uint64_t events = 1'000'000;
  if (bench::run_program(LEAFTURN_PROGRAM, {"demo", garden}) < 0.0 || !bench::invent_years(garden, events, options.seed)) return 3;

  Tally tally;
  Numbers numbers{options.seed};
  const double seconds = options.quick ? 4.0 : 20.0;
  double first_start = 0.0;
  {
    const bench::Server first(LEAFTURN_PROGRAM, garden);  // reads it all once and keeps a snapshot
    first_start = first.start_s();
    if (first_start < 0.0) return 3;
  }
  const auto server = std::make_unique<bench::Server>(LEAFTURN_PROGRAM, garden);
  if (server->start_s() < 0.0) return 3;

  const double before_pages = server->rss_mb();
  std::vector<std::unique_ptr<bench::Wire>> pages;
  for (std::size_t i = 0; i < open_pages; ++i) {
    pages.push_back(std::make_unique<bench::Wire>(server->secure_port(), true));
    if (!pages.back()->open() || !pages.back()->listen_for_news()) ++tally.errors;
  }
  const double pages_mb = server->rss_mb() - before_pages;

  // The disk's own rate between the writes it is held against: neighbours on the machine make it wander.
  std::vector<double> syncs, alone, together;
  for (int round = 0; round < (options.quick ? 3 : 5); ++round) {
    syncs.push_back(bench::fsync_per_s(folder.string(), seconds / 5.0));
    alone.push_back(write_rate(*server, numbers, 1, seconds / 5.0, tally));
    together.push_back(write_rate(*server, numbers, people, seconds / 5.0, tally));
  }
  std::vector<double> rss{before_pages, before_pages + pages_mb, server->rss_mb()};
  read_and_write(*server, numbers, seconds, rest_s, tally);
  rss.push_back(server->rss_mb());
  Tally without_rest;
  read_and_write(*server, numbers, seconds / 2.0, 0.0, without_rest);
  tally.errors += without_rest.errors;
  const double peak = server->peak_mb();
  rss.push_back(server->rss_mb());
  pages.clear();

  bench::Results results(options);
  const auto exactly = [&](const char* name, double value) { results.figure(name, {value, 0.0}); };
  exactly("clients", static_cast<double>(people));
  exactly("events", static_cast<double>(events));
  exactly("read_p99_ms", quantile(tally.reads_ms, 0.99));
  results.figure("writes_per_s_1", bench::estimate(alone));
  results.figure("writes_per_s_50", bench::estimate(together));
  results.figure("fsync_per_s", bench::estimate(syncs));
  exactly("start_s", server->start_s());
  exactly("rss_mb", peak);
  exactly("idle_pages_mb", pages_mb);
  exactly("errors", static_cast<double>(tally.errors));
  results.raw("first_start_s", {first_start});
  results.raw("rss_mb_started_pages_written_mixed_end", rss);
  results.raw("writes_per_s_1_per_round", alone);
  results.raw("writes_per_s_50_per_round", together);
  results.raw("fsync_per_s_per_round", syncs);
  results.raw("mixed_reads_and_writes", {static_cast<double>(tally.reads_ms.size()), static_cast<double>(tally.writes_ms.size())});
  const auto spread = [&](const std::string& name, const std::vector<double>& ms) {
    results.raw(name + "_ms_p50_p90_p99_most", {quantile(ms, 0.5), quantile(ms, 0.9), quantile(ms, 0.99), quantile(ms, 1.0)});
  };
  if (!tally.first_error.empty()) results.note("first_error", tally.first_error);
  if (!without_rest.first_error.empty()) results.note("first_error_without_rest", without_rest.first_error);
  spread("reads", tally.reads_ms);
  spread("writes", tally.writes_ms);
  for (const auto& [name, ms] : tally.by_question) spread(name, ms);
  spread("reads_without_rest", without_rest.reads_ms);
  std::filesystem::remove_all(folder);
  return results.finish();
}
