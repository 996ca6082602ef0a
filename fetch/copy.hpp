#pragma once
/// The copy of an address's last answer, kept on the disk to ask 'has it changed?' and to fall back on.

#include <optional>
#include <string>

#include "core/base/date.hpp"
#include "fetch/get.hpp"

namespace leafturn::fetch {

struct Copy {
  Validators validators;
  Instant fetched;  ///< when the server last said that these bytes are right
  std::string bytes;
};

/// The copy of `address` in `folder`; nothing when there is none or its file is damaged. The file's name is a digest of the address, and
/// the address itself is not in it: it tells where a garden is, and may hold a key.
std::optional<Copy> read_copy(const std::string& folder, const Address& address);

/// Whole or not at all, also through a power cut: written beside, flushed, then renamed over the old one. Readable by its owner only.
/// Makes the folder. Errors: `file.cannot_write`.
Status write_copy(const std::string& folder, const Address& address, const Copy& copy);

}  // namespace leafturn::fetch
