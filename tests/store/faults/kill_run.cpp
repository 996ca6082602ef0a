#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <random>
#include <thread>

#include "store/ledger.hpp"
#include "tests/store/faults/runs.hpp"
#include "tests/store/faults/writing.hpp"

namespace leafturn::store::faults {
namespace {

/// What goes through the pipe: small enough that the system writes it whole or not at all.
struct Told {
  std::array<std::uint8_t, 16> id;
  std::uint64_t seq;
  std::array<std::uint8_t, 32> link;
};

/// One client of the child: appends until killed.
void write_forever(Ledger& ledger, std::uint64_t seed, int pipe) {
  std::mt19937_64 random(seed);
  const std::string writer = "client " + std::to_string(seed);
  for (std::uint64_t next = 1;;) {
    const auto batch = some_events(random, next, 1 + random() % 5, writer);
    const auto receipts = ledger.append(batch, event_time(next));
    if (!receipts) _exit(2);
    for (const Receipt& r : *receipts) {
      const Told told{r.id.bytes, r.seq, r.link.bytes};
      if (::write(pipe, &told, sizeof told) != static_cast<ssize_t>(sizeof told)) _exit(3);
    }
    next += batch.size();
  }
}

/// The child. Never returns.
[[noreturn]] void write_until_killed(const std::string& path, std::uint64_t seed, int pipe) {
  auto ledger = open_sqlite(path, {.create = true});
  if (!ledger) _exit(1);
  std::vector<std::thread> threads;
  for (std::uint64_t client = 0; client < clients; ++client)
    threads.emplace_back([&ledger, seed, client, pipe] { write_forever(**ledger, seed + client, pipe); });
  for (auto& thread : threads) thread.join();
  _exit(4);
}

std::vector<Receipt> drain(int pipe) {
  std::vector<Receipt> receipts;
  Told told{};
  std::size_t have = 0;
  while (true) {
    const ssize_t got = ::read(pipe, reinterpret_cast<char*>(&told) + have, sizeof told - have);
    if (got <= 0) return receipts;
    have += static_cast<std::size_t>(got);
    if (have < sizeof told) continue;
    receipts.push_back({Id{told.id}, told.seq, Digest{told.link}, Receipt::Kind::appended});
    have = 0;
  }
}

/// Lets a child write for a random time and kills it; what it acknowledged.
std::vector<Receipt> one_kill(const std::string& path, std::mt19937_64& random, Outcome& outcome) {
  int ends[2];
  if (::pipe(ends) != 0) return {};
  const std::uint64_t child_seed = random();
  const pid_t child = ::fork();
  if (child == 0) {
    ::close(ends[0]);
    write_until_killed(path, child_seed, ends[1]);
  }
  ::close(ends[1]);
  // Half of the kills fall soon after the first acknowledgement, the others at any time, the opening of the ledger included.
  if (random() % 2 == 0) {
    pollfd first{ends[0], POLLIN, 0};
    ::poll(&first, 1, 2000);
  }
  ::usleep(static_cast<useconds_t>(random() % 15'000));
  ::kill(child, SIGKILL);
  int status = 0;
  ::waitpid(child, &status, 0);
  const auto receipts = drain(ends[0]);
  ::close(ends[0]);
  if (!WIFSIGNALED(status)) {
    ++outcome.damaged;
    outcome.notes.push_back("the writer stopped by itself with exit code " + std::to_string(WEXITSTATUS(status)));
  }
  ++outcome.stops;
  outcome.acknowledged += receipts.size();
  return receipts;
}

}  // namespace

Outcome kill_writers(int kills, std::uint64_t seed, const std::string& folder) {
  std::mt19937_64 random(seed);
  Outcome outcome;
  std::vector<Receipt> acknowledged;
  std::string path;
  for (int n = 0; n < kills; ++n) {
    if (n % 10 == 0) {
      path = folder + "/ledger-" + std::to_string(n) + ".db";
      acknowledged.clear();
    }
    const auto receipts = one_kill(path, random, outcome);
    acknowledged.insert(acknowledged.end(), receipts.begin(), receipts.end());
    look_for(acknowledged, open_sqlite(path, {.create = true}), outcome);
  }
  return outcome;
}

}  // namespace leafturn::store::faults
