#pragma once
/// A file's bytes.

#include <string>

#include "core/base/result.hpp"

namespace leafturn::io {

/// The whole file. Errors: `file.missing` (nothing there), `file.is_folder`, `file.too_large` (over 256 MB: no file of ours is),
/// `file.unreadable` with the system's reason.
Result<std::string> read_file(const std::string& path);

}  // namespace leafturn::io
