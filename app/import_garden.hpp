#pragma once
/// A folder of plain files (docs/garden-files.md) into a garden's ledger, in one commit.

#include <string>
#include <vector>

#include "core/base/fact.hpp"
#include "core/base/ids.hpp"
#include "core/base/result.hpp"

namespace leafturn::app {

struct ImportReport {
  std::size_t events = 0;         ///< appended now
  std::size_t had = 0;            ///< already there from an earlier import of the same rows
  std::size_t outside_label = 0;  ///< of `events`: sprays their card refuses, written as outside the label
  Digest head;
  std::vector<Reason> notes;  ///< what was left out or can't be used, and rows dated after `now` (`garden.rows_to_come`)
};

/// `into` is made when it isn't there. Nothing is written unless every file is good. Importing the same folder again adds only rows that
/// are new. A spray that the folder's own card refuses (crop, rate, interval, maximum, setting) is written as outside the label: its bed is
/// locked.
Result<ImportReport> import_garden(const std::string& folder, const std::string& into, Instant now);

/// The invented garden built into the program, with its own day. Refuses a folder that already holds a ledger (`app.garden_exists`).
Result<ImportReport> make_demo(const std::string& folder, Instant now);

}  // namespace leafturn::app
