#pragma once
/// Text from outside, made fit to be shown: it may come from any file, and a terminal or a page must not obey it.

#include <string>
#include <string_view>

namespace leafturn::words {

/// Line ends and tabs become spaces; other control characters and bytes that are not UTF-8 become U+FFFD.
std::string clean_text(std::string_view text);

}  // namespace leafturn::words
