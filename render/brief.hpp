#pragma once
/// A brief as JSON (contract) and as text for a terminal. The same words feed pages and paper.

#include <string>

#include "app/brief.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// Keys as in docs/api.md; every sentence in `style`'s language beside its code and facts.
std::string brief_json(const app::BriefAnswer& answer, const pest::Library& library, const words::Style& style);
/// On what the whole brief rests: timing, and which pests' numbers are learned.
std::string basis_sentence(const decision::Brief& brief, const words::Style& style);
std::string brief_text(const app::BriefAnswer& answer, const pest::Library& library, const words::Style& style);

}  // namespace leafturn::render
