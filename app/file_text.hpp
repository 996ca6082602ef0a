#pragma once
/// Files that a person names for a command to read or to make.

#include <optional>
#include <string>
#include <string_view>

#include "core/base/ids.hpp"
#include "core/base/result.hpp"

namespace leafturn::app {

/// Errors: `file.missing`, `file.is_folder`, `file.unreadable`.
Result<std::string> read_text(const std::string& path);
/// Whole or not at all, and never over a file that is there: `file.exists`, `file.cannot_write`.
Status write_new_file(const std::string& path, std::string_view bytes);
/// `file.exists` when something has that name.
Status must_not_exist(const std::string& path);
/// A head as printed on a record: 64 hexadecimal digits, else `ledger.head_unreadable`.
Result<std::optional<Digest>> parse_head(const std::optional<std::string>& text);

}  // namespace leafturn::app
