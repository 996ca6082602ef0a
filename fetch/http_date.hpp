#pragma once
/// Times as HTTP headers write them.

#include <optional>
#include <string_view>

#include "core/base/date.hpp"

namespace leafturn::fetch {

/// `Sun, 06 Nov 1994 08:49:37 GMT` (RFC 9110 section 5.6.7, the one form that servers may write). Nothing for anything else.
std::optional<Instant> parse_http_date(std::string_view text);

}  // namespace leafturn::fetch
