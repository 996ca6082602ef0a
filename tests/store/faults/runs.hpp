#pragma once
/// Fault runs, used by tests/store and bench/faults: a writer is stopped at random moments, and what it was told is on file is looked for
/// afterwards.

#include <cstdint>
#include <string>
#include <vector>

namespace leafturn::store::faults {

struct Outcome {
  int stops = 0;                   ///< kills or power cuts
  std::uint64_t acknowledged = 0;  ///< events whose receipt was in hand before the stop
  std::uint64_t lost = 0;          ///< of those, how many are missing afterwards or have another seq or link
  int damaged = 0;                 ///< ledgers that would not open or failed `verify`
  std::vector<std::string> notes;  ///< what went wrong, for people
};

/// A child process in which eight clients append at once, in batches of one to five, and pass each receipt through a pipe; it is killed
/// (SIGKILL) at a random moment. Every tenth kill starts a new ledger in `folder`, so that some fall while a ledger is being made.
Outcome kill_writers(int kills, std::uint64_t seed, const std::string& folder);

/// Writers on a PowerCutDisk, cut at a random operation: one, or eight at once in every second ledger. `safe` = false opens with
/// synchronous=OFF, which must lose events.
Outcome cut_power(int cuts, std::uint64_t seed, bool safe);

/// A writer on a PowerCutDisk on which one sync fails, a different one each time; then the ledger is opened again, goes on, and the power
/// is cut. `stops` counts failed syncs; a receipt given between the failure and the reopening is `unasked`.
struct BadSyncs {
  Outcome outcome;
  int unasked = 0;
  int unseen = 0;  ///< syncs that failed without any append saying so: the opening's, and checkpoints'
};
BadSyncs fail_syncs(int failures, std::uint64_t seed);

struct Tampering {
  int changes = 0;
  int found = 0;
  std::vector<std::string> missed;
};
/// Flips one bit in each byte of the second event's row as stored in the file (its bytes, and the heading beside them), and changes each
/// column by SQL; counts how many `verify` finds. Works in `folder`.
Tampering tamper(const std::string& folder);

}  // namespace leafturn::store::faults
