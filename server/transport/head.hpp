#pragma once
/// What a request's head must look like before the HTTP library may read it. The library takes what the standard lets a lenient reader take
/// (folded lines, a length said twice); a proxy in front may read the same bytes otherwise, and one request becomes two. So whatever could
/// be read in two ways is refused.

#include <cstddef>
#include <optional>
#include <string_view>

#include "server/guard.hpp"

namespace leafturn::server::transport {

inline constexpr std::size_t most_head = 16 * 1024;  ///< bytes, request line included
inline constexpr std::size_t most_target = 8 * 1024;
inline constexpr std::size_t most_fields = 100;

/// `head`: everything up to and with the empty line. `most_body` in bytes.
/// Refused with 400 `server.request_unreadable`: a line that doesn't end in CRLF, a stray CR, a control character, a folded line, blanks
/// before a colon, a request line that isn't `METHOD /path HTTP/1.1` (or 1.0) with single blanks, no Host or two in HTTP/1.1, any field
/// that must be single given twice, a Content-Length that isn't digits. 411 `server.length_needed`: any Transfer-Encoding. 413
/// `server.body_too_large`, 414 `server.address_too_long`, 431 `server.head_too_large`.
std::optional<Refusal> refuse_head(std::string_view head, std::size_t most_body);

}  // namespace leafturn::server::transport
