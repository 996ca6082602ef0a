#pragma once
/// What `ledger …` does.

#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "store/ledger.hpp"

namespace leafturn::app {

/// The chain, and whether the sums kept beside it are what its events add up to (`ledger.snapshot_differs`).
Result<store::Verification> verify_ledger(const std::string& folder, std::optional<Digest> head);
/// One line of JSON per event, in order: {"seq","received","link","event":…the bytes as they are…}; before an event that points to a text
/// (a card, a weather file), a line {"blob":…its SHA-256…,"text"}.
/// `guest`: the chain of a guest instead of the garden's own, by its name or origin; `ledger.no_such_guest`.
Status export_ledger(const std::string& folder, const std::function<void(std::string_view line)>& line,
                     const std::optional<std::string>& guest = {});
/// A consistent copy of the ledger file.
Status backup_ledger(const std::string& folder, const std::string& to_path);
struct ImportedEvents {
  std::size_t appended = 0, had = 0, quarantined = 0;
  std::size_t changed = 0;  ///< of those that were here: other bytes in the file than here, under the same link; ours hold
  bool same_chain = false;  ///< the events kept the places, times and links they had
};
/// Events exported elsewhere (ids that are here are not written twice).
/// - Into an empty garden, or one whose chain is the beginning of the file's, they keep their places, times and links: heads and receipts
/// of
///   the ledger they come from hold here too. A file that was changed is refused: `ledger.chain_broken`.
/// - Into another garden that shares events with the file, they are appended.
/// - A file of another garden is refused whole, `ledger.another_garden`, unless `as` names it: then its chain is kept beside this garden's
///   own, as it was, and nothing of it counts here.
Result<ImportedEvents> import_events(const std::string& folder, std::string_view lines, Instant now,
                                     const std::optional<std::string>& as = {});
Result<std::vector<store::Guest>> guests_of(const std::string& folder);
/// One of them, by its name or origin; `ledger.no_such_guest`.
Result<store::Guest> guest_of(const std::string& folder, const std::string& name);

}  // namespace leafturn::app
