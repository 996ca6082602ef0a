#pragma once
/// Fitted development rates, as JSON (keys in docs/commands.md), as text, and as the block that goes into a dossier.

#include <string>

#include "app/develop_fit.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string develop_fit_json(const app::DevelopFitAnswer& answer, const words::Style& style);
std::string develop_fit_text(const app::DevelopFitAnswer& answer, const words::Style& style);

/// `[[set]]` and its `[sources.…]` in TOML (docs/dossier.md). What the question didn't give is a comment that says what belongs there.
/// Empty when the form was refused.
std::string develop_set_block(const app::DevelopFitAnswer& answer, const phenology::RateFit& fit, const words::Style& style);

}  // namespace leafturn::render
