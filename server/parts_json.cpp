#include <nlohmann/json.hpp>

#include "server/json_parts.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

std::string word_of(const std::string& key, const words::Style& style) {
  if (words::has_key(key, style.language)) return words::say_key(key, style);
  return key.substr(key.rfind('.') + 1);
}

std::string pest_key(const pest::Dossier& dossier) {
  const std::string by_id = "pest." + dossier.id;
  return words::has_key(by_id, words::Language::en) || dossier.eppo.empty() ? by_id : "pest." + dossier.eppo;
}

std::string pest_name(const pest::Dossier& dossier, const words::Style& style) { return word_of(pest_key(dossier), style); }

std::string judgement_json(const label::Judgement& judgement, const Zone& zone, const words::Style& style) {
  ordered_json reasons = ordered_json::array();
  for (const auto& outcome : judgement.outcomes) {
    reasons.push_back({{"rule", label::word_for(outcome.rule)},
                       {"state", label::word_for(outcome.state)},
                       {"card_field", outcome.card_field},
                       {"card_line", outcome.card_line},
                       {"code", outcome.reason.code},
                       {"text", words::say(outcome.reason, style)}});
  }
  const auto time = [&](const std::optional<CivilTime>& civil) -> ordered_json {
    return civil ? ordered_json(zone.iso(zone.instant(*civil))) : ordered_json(nullptr);
  };
  const ordered_json out = {{"verdict", label::word_for(judgement.verdict)},
                            {"reasons", reasons},
                            {"earliest_harvest", time(judgement.earliest_harvest)},
                            {"reentry", judgement.reentry_until_dry ? ordered_json("until-dry") : time(judgement.reentry)}};
  return out.dump();
}

std::string statements_json(const label::Card& card) {
  ordered_json statements = ordered_json::array();
  for (const auto& other : card.others) statements.push_back({{"field", other.field}, {"line", other.line}, {"text", other.text}});
  return statements.dump();
}

std::string cautions_json(const words::Style& style) {
  ordered_json cautions = ordered_json::array();
  for (const char* key : {"label_is_law", "licence", "people", "clothing", "weather", "poisoning", "disposal"}) {
    cautions.push_back(words::say_key(std::string{"pages.caution."} + key, style));
  }
  return cautions.dump();
}

}  // namespace leafturn::server
