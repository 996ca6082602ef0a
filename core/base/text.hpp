#pragma once
/// What counts as text.

#include <cstddef>
#include <string_view>

namespace leafturn {

/// Well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF).
bool is_utf8(std::string_view bytes);
/// UTF-8 without control characters (U+0000–U+001F, U+007F–U+009F); `lines` allows line feeds and tabs.
bool is_plain_text(std::string_view bytes, bool lines = false);

}  // namespace leafturn
