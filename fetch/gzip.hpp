#pragma once
/// gzip (RFC 1952), unpacked within bounds.

#include <string>
#include <string_view>

#include "core/base/result.hpp"

namespace leafturn::fetch {

bool is_gzip(std::string_view bytes);

/// All members of a gzip stream, one after another. At most `most` bytes come out, however small the stream is.
/// Errors: `fetch.too_large`, `fetch.cut_off` (the stream ends early), `fetch.garbled`.
Result<std::string> unpack_gzip(std::string_view bytes, std::size_t most);

}  // namespace leafturn::fetch
