#pragma once
/// A phone's file written down: each entry judged and appended like one that was sent, so that a file carried by hand and a phone that
/// reaches the server later leave one event.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/record.hpp"

namespace leafturn::app {

struct PhoneEntryTaken {
  std::string told;                      ///< what it says, as the phone put it
  std::optional<RecordOutcome> outcome;  ///< absent: refused
  std::optional<Error> refused;          ///< with the file's line
};

struct PhoneFileTaken {
  std::vector<PhoneEntryTaken> entries;  ///< in the file's order
  std::size_t fresh = 0, had = 0, refused = 0, quarantined = 0;
};

/// What is refused holds nothing else up; a disk that fails stops it (what was appended by then stays, and taking the file again is
/// harmless). Errors: io::read_phone_file's, and the ledger's own of kind `cannot`.
Result<PhoneFileTaken> take_phone_file(OpenGarden& garden, std::string_view text, Instant now);

/// The receipts as a file for the phone.
std::string phone_receipts(const PhoneFileTaken& taken, const Zone& zone, Instant now);

}  // namespace leafturn::app
