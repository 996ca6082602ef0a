#pragma once
/// What `--help` prints.

#include <string>
#include <string_view>

#include "words/catalogue.hpp"

namespace leafturn::cli {

/// Of one command, of a family (`ledger`), or of everything (empty path).
std::string help(std::string_view path, const words::Style& style);

}  // namespace leafturn::cli
