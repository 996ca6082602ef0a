#include <nlohmann/json.hpp>

#include "server/parts_json.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

std::string word_of(const std::string& key, const words::Style& style) {
  if (words::has_key(key, style.language)) return words::say_key(key, style);
  return key.substr(key.rfind('.') + 1);
}

std::string pest_key(const pest::Dossier& dossier) { return "pest." + dossier.id + ".name"; }

std::string pest_name(const pest::Dossier& dossier, const words::Style& style) { return word_of(pest_key(dossier), style); }

std::string statements_json(const label::Card& card) {
  ordered_json statements = ordered_json::array();
  for (const auto& other : card.others) statements.push_back({{"field", other.field}, {"line", other.line}, {"text", other.text}});
  return statements.dump();
}

}  // namespace leafturn::server
