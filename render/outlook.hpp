#pragma once
/// An outlook as JSON (contract) and as text for a terminal.

#include <string>

#include "app/outlook.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// Keys as in docs/commands.md and docs/api.md; every sentence in `style`'s language beside its code.
std::string outlook_json(const app::OutlookAnswer& answer, const words::Style& style);
std::string outlook_text(const app::OutlookAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
