#include <random>

#include "tests/store/faults/power_cut_vfs.hpp"
#include "tests/store/faults/runs.hpp"
#include "tests/store/faults/writing.hpp"

namespace leafturn::store::faults {
namespace {

constexpr const char* path = "/ledger.db";

/// Writes until the power goes; adds what was acknowledged.
void write_until_cut(PowerCutDisk& disk, const OpenOptions& options, std::mt19937_64& random, std::vector<Receipt>& acknowledged,
                     Outcome& outcome) {
  while (!disk.is_off()) {
    auto ledger = open_sqlite(path, options);
    if (!ledger) return;
    const auto last = (*ledger)->last_seq();
    if (!last) return;
    std::uint64_t next = *last + 1;
    // Now and then the ledger is closed and opened again, so that cuts fall into checkpoints and openings too.
    for (std::uint64_t batches = 1 + random() % 40; batches > 0; --batches) {
      const auto batch = some_events(random, next, 1 + random() % 5);
      const auto receipts = (*ledger)->append(batch, event_time(next));
      if (!receipts) break;
      acknowledged.insert(acknowledged.end(), receipts->begin(), receipts->end());
      outcome.acknowledged += receipts->size();
      next += batch.size();
    }
  }
}

}  // namespace

Outcome cut_power(int cuts, std::uint64_t seed, bool safe) {
  std::mt19937_64 random(seed);
  Outcome outcome;
  while (outcome.stops < cuts) {
    PowerCutDisk disk(random());
    OpenOptions options;
    options.create = true;
    options.vfs = disk.vfs();
    options.unsafe_synchronous_off = !safe;
    std::vector<Receipt> acknowledged;
    const int damaged_before = outcome.damaged;
    // The same ledger goes through up to ten cuts.
    for (int n = 0; n < 10 && outcome.stops < cuts && outcome.damaged == damaged_before; ++n) {
      disk.cut_after(1 + (random() % 4 == 0 ? random() % 30 : random() % 600));
      write_until_cut(disk, options, random, acknowledged, outcome);
      disk.power_on();
      ++outcome.stops;
      const auto lost_before = outcome.lost;
      look_for(acknowledged, open_sqlite(path, options), outcome);
      if (outcome.lost != lost_before) break;
    }
  }
  return outcome;
}

}  // namespace leafturn::store::faults
