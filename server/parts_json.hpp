#pragma once
/// Pieces of answers, each as the text of one JSON value; the JSON library shows only in *_json.cpp.

#include <string>

#include "core/label/judge.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

std::string statements_json(const label::Card& card);

/// A term's word in the reader's language; the key's last part where the catalogue has none.
std::string word_of(const std::string& key, const words::Style& style);
/// A pest's common name.
std::string pest_name(const pest::Dossier& dossier, const words::Style& style);
/// Catalogue key of a pest's name.
std::string pest_key(const pest::Dossier& dossier);

}  // namespace leafturn::server
