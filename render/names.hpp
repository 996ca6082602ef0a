#pragma once
/// Names of pests, stages and crops in the reader's language; the key itself where the catalogue has none.

#include <string>
#include <string_view>

#include "core/pest/dossier.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// The catalogue's phrase for a key, else `otherwise`.
std::string phrase(const std::string& key, std::string_view otherwise, const words::Style& style);
/// `imported cabbageworm`.
std::string pest_name(const pest::Dossier& pest, const words::Style& style);
std::string stage_name(std::string_view stage, const words::Style& style);
std::string crop_name(std::string_view eppo, const words::Style& style);
/// First letter upper case, also an accented one of Spanish.
std::string capital(std::string text);

}  // namespace leafturn::render
