#pragma once
/// What the dossier of a pest says, with where each figure comes from.

#include <string>

#include "core/pest/dossier.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string pest_json(const pest::Dossier& pest, const words::Style& style);
std::string pest_text(const pest::Dossier& pest, const words::Style& style);

}  // namespace leafturn::render
