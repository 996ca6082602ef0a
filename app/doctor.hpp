#pragma once
/// Is all well with this garden's folder and machine, and what is to be done where it isn't.

#include <optional>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/fact.hpp"
#include "core/base/result.hpp"

namespace leafturn::app {

struct Finding {
  enum class State { good, look, bad };
  std::string check;  ///< `room`, `folder`, `clock`, `ledger`, `quarantine`, `backups`
  State state = State::good;
  Reason text;
  std::optional<Reason> advice;  ///< what to do
};

struct Checkup {
  std::vector<Finding> findings;
  bool bad() const;  ///< something must be done
};

/// Looks; a ledger of an older form is brought up to date, as by any command. `backups`: where they are kept; absent: `FOLDER/backups`. A
/// ledger that can't be opened is a finding, a garden that isn't there an error (`app.no_garden`).
Result<Checkup> examine(const std::string& folder, const std::optional<std::string>& backups, Instant now);

/// Where backups go that are given no name: `FOLDER/backups/ledger-20260531T113000Z.db`; the folder is made.
Result<std::string> backup_name(const std::string& folder, Instant now);

}  // namespace leafturn::app
