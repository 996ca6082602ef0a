#pragma once
/// Bringing a backup back, for good or to see that it could be.

#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/garden/garden.hpp"
#include "store/ledger.hpp"

namespace leafturn::app {

/// What a backup holds, found out by restoring it, verifying every link and adding up every event.
struct Restored {
  store::Verification verification;
  garden::Garden garden;  ///< all of it
  Zone zone;
  std::optional<Instant> first, last;  ///< when its first and last event were received
  std::vector<std::string> missing;    ///< cards and weather files whose text isn't in it
  bool has_head = true;                ///< the head asked about is in its chain
  std::size_t guests = 0;
  std::string folder;  ///< where it is now; empty when it was only tried

  bool sound() const { return verification.intact && missing.empty(); }
  bool yes() const { return sound() && has_head; }
};

/// Restores `backup` into the folder `into`, which must not hold a ledger (`app.garden_exists`); without one, into a temporary place that
/// is gone afterwards. A backup that isn't sound, or whose chain lacks `head`, is told of and not kept. The backup is not
/// touched. Errors: `ledger.not_found`, `ledger.not_a_ledger`, `ledger.newer_file`, `ledger.damaged`, `ledger.disk_full` …
Result<Restored> restore_ledger(const std::string& backup, const std::optional<std::string>& into, const std::optional<Digest>& head);

}  // namespace leafturn::app
