#pragma once
/// What `ledger …` does.

#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "store/ledger.hpp"

namespace leafturn::app {

Result<store::Verification> verify_ledger(const std::string& folder, std::optional<Digest> head);
/// One line of JSON per event, in order: {"seq","received","link","event":…the bytes as they are…}; before an event that points to a text
/// (a card, a weather file), a line {"blob":…its SHA-256…,"text"}.
Status export_ledger(const std::string& folder, const std::function<void(std::string_view line)>& line);
/// A consistent copy of the ledger file.
Status backup_ledger(const std::string& folder, const std::string& to_path);
struct ImportedEvents {
  std::size_t appended = 0, had = 0, quarantined = 0;
};
/// Events exported elsewhere, appended to this garden (same ids are not written twice). Another garden's are refused whole:
/// `ledger.another_garden`.
Result<ImportedEvents> import_events(const std::string& folder, std::string_view lines, Instant now);

}  // namespace leafturn::app
