#include <mutex>
#include <random>
#include <thread>

#include "tests/store/faults/power_cut_vfs.hpp"
#include "tests/store/faults/runs.hpp"
#include "tests/store/faults/writing.hpp"

namespace leafturn::store::faults {
namespace {

constexpr const char* path = "/ledger.db";

/// What the writers of one ledger were told, from whichever thread.
struct Heard {
  std::mutex mutex;
  std::vector<Receipt> receipts;
  void add(const std::vector<Receipt>& more) {
    const std::lock_guard lock(mutex);
    receipts.insert(receipts.end(), more.begin(), more.end());
  }
};

/// Some batches of one client; stops at the first refusal.
void write_some(Ledger& ledger, std::uint64_t seed, std::uint64_t first, Heard& heard) {
  std::mt19937_64 random(seed);
  const std::string writer = "client " + std::to_string(seed);
  std::uint64_t next = first;
  for (std::uint64_t batches = 1 + random() % 40; batches > 0; --batches) {
    const auto batch = some_events(random, next, 1 + random() % 5, writer);
    const auto receipts = ledger.append(batch, event_time(next));
    if (!receipts) return;
    heard.add(*receipts);
    next += batch.size();
  }
}

/// Writes until the power goes. Now and then the ledger is closed and opened again, so that cuts fall into checkpoints and openings too.
void write_until_cut(PowerCutDisk& disk, const OpenOptions& options, std::mt19937_64& random, int writers, Heard& heard) {
  while (!disk.is_off()) {
    auto ledger = open_sqlite(path, options);
    if (!ledger) return;
    const auto last = (*ledger)->last_seq();
    if (!last) return;
    std::vector<std::thread> threads;
    for (int w = 1; w < writers; ++w) threads.emplace_back([&, seed = random()] { write_some(**ledger, seed, *last + 1, heard); });
    write_some(**ledger, random(), *last + 1, heard);
    for (auto& thread : threads) thread.join();
  }
}

OpenOptions on(const PowerCutDisk& disk, bool safe = true) {
  OpenOptions options;
  options.create = true;
  options.vfs = disk.vfs();
  options.unsafe_synchronous_off = !safe;
  return options;
}

}  // namespace

Outcome cut_power(int cuts, std::uint64_t seed, bool safe) {
  std::mt19937_64 random(seed);
  Outcome outcome;
  while (outcome.stops < cuts) {
    PowerCutDisk disk(random());
    const OpenOptions options = on(disk, safe);
    const int writers = random() % 2 == 0 ? 1 : clients;
    Heard heard;
    const int damaged_before = outcome.damaged;
    // The same ledger goes through up to ten cuts.
    for (int n = 0; n < 10 && outcome.stops < cuts && outcome.damaged == damaged_before; ++n) {
      disk.cut_after(1 + (random() % 4 == 0 ? random() % 30 : random() % 600));
      const std::size_t before = heard.receipts.size();
      write_until_cut(disk, options, random, writers, heard);
      outcome.acknowledged += heard.receipts.size() - before;
      disk.power_on();
      ++outcome.stops;
      const auto lost_before = outcome.lost;
      look_for(heard.receipts, open_sqlite(path, options), outcome);
      if (outcome.lost != lost_before) break;
    }
  }
  return outcome;
}

BadSyncs fail_syncs(int failures, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  BadSyncs found;
  while (found.outcome.stops < failures) {
    PowerCutDisk disk(random());
    const OpenOptions options = on(disk);
    Heard heard;
    if (auto ledger = open_sqlite(path, options)) write_some(**ledger, random(), 1, heard);
    const std::uint64_t syncs_before = disk.done().syncs;
    const std::uint64_t which = 1 + random() % 12;
    disk.fail_sync_after(which);
    {
      auto ledger = open_sqlite(path, options);
      const bool opened = ledger.has_value();
      bool refused = false;
      // Long enough that checkpoints come by.
      for (std::uint64_t n = 1; opened && n < 60; ++n) {
        const auto batch = some_events(random, 1000 + n * 5, 5, "after " + std::to_string(which));
        const auto receipts = (*ledger)->append(batch, event_time(n));
        if (receipts && refused) ++found.unasked;
        if (receipts && !refused) heard.add(*receipts);
        refused = refused || !receipts;
      }
      if (disk.done().syncs - syncs_before >= which) {
        ++found.outcome.stops;
        if (!refused) ++found.unseen;
      }
    }
    disk.fail_sync_after(0);
    // Opened again on a disk that works again, it goes on; then the power is cut before it is closed, and the disk shows what it really
    // holds.
    if (auto ledger = open_sqlite(path, options)) {
      write_some(**ledger, random(), 5000, heard);
      disk.cut_after(1);
    }
    disk.power_on();
    found.outcome.acknowledged += heard.receipts.size();
    look_for(heard.receipts, open_sqlite(path, options), found.outcome);
  }
  return found;
}

}  // namespace leafturn::store::faults
