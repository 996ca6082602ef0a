#pragma once
/// What a phone's page saved as a file (docs/sync.md): entries to be written down, and receipts for what was.
///
/// One JSON object a line: `{"leafturn":"phone","form":1,"saved":TIME}`, then `{"event":BYTES,"told":TEXT,"state":WORD}` (the event's bytes
/// as a JSON string) and `{"receipt":{"id","seq","link","told","at","outside"}}`.
///
/// Errors, with the line: `phone_file.not_one` (the first line says something else), `phone_file.newer`, `phone_file.line`,
/// `phone_file.too_large` (over 64 MB), and those of a JSON text (`event.not_json` …).

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/ids.hpp"
#include "core/base/result.hpp"

namespace leafturn::io {

struct PhoneEntry {
  int line = 0;
  std::string bytes;  ///< as the phone wrote them
  std::string told;   ///< what it says, for people, in the phone's language
};

/// What a receipt tells the phone.
struct PhoneReceipt {
  Id id;
  std::uint64_t seq = 0;
  Digest link;
  std::string told;
  std::string at;  ///< ISO 8601 with an offset
  bool outside = false;
};

/// The entries of a file; receipts in it are the phone's own matter and only looked at. All or nothing.
Result<std::vector<PhoneEntry>> read_phone_file(std::string_view text);

/// A file of receipts for the phone to load.
std::string write_phone_receipts(const std::vector<PhoneReceipt>& receipts);

}  // namespace leafturn::io
