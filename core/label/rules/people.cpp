#include <algorithm>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {

Length exclusion_distance(const std::optional<Droplets>& droplets, const std::optional<Length>& release_height) {
  if (!droplets || *droplets < Droplets::medium) return Length::feet(100);
  if (release_height && *release_height <= Length::inches(12)) return Length::feet(0);
  return Length::feet(25);
}

Answered licence_rule(const Case& asked) {
  const bool* restricted = asked.card.restricted_use.value();
  if (restricted == nullptr || !*restricted) return std::nullopt;
  const auto say = [](State state, std::string code) {
    return outcome_of(Rule::licence, state, field_of_card("restricted_use"), std::move(code));
  };
  if (!asked.p.handler) return say(State::conditional, "judge.licence.needed");
  if (!asked.p.handler->licensed) return say(State::unknown, "judge.licence.not_known");
  return *asked.p.handler->licensed ? say(State::pass, "judge.licence.held") : say(State::refused, "judge.licence.none");
}

Answered handler_rule(const Case& asked) {
  const auto say = [](State state, std::string code) {
    return outcome_of(Rule::handler, state, field_of_card("agricultural_use"), std::move(code));
  };
  // Of somebody told only by licence or dress nothing is said here that silence doesn't say.
  const auto& told = asked.p.handler;
  if (!told || (!told->family && !told->adult && !told->trained)) {
    const bool* box = asked.card.agricultural_use.value();
    if (box == nullptr || !*box) return std::nullopt;
    return say(State::conditional, "judge.handler.worker_rules");
  }
  const Handler& who = *asked.p.handler;
  if (who.family) return say(State::pass, "judge.handler.family");
  // 40 CFR 170.309(c) and 170.501 (numbers from memory): a handler is at least 18 and was trained.
  if (who.adult && !*who.adult) return say(State::refused, "judge.handler.not_adult");
  if (who.trained && !*who.trained) return say(State::refused, "judge.handler.not_trained");
  if (!who.adult || !who.trained) return say(State::unknown, "judge.handler.not_known");
  return say(State::pass, "judge.handler.ready");
}

Answered protection_rule(const Case& asked) {
  const auto* wanted = asked.card.ppe_handler.value();
  if (wanted == nullptr) return std::nullopt;
  const auto say = [&](State state, std::string code, const std::vector<std::string>& things) {
    std::string text;
    for (const std::string& thing : things) text += (text.empty() ? "" : ", ") + thing;
    return outcome_of(Rule::protection, state, field_of_card("ppe_handler"), std::move(code), {{"things", text}});
  };
  if (!asked.p.handler || !asked.p.handler->protection) return say(State::conditional, "judge.protection.wear", *wanted);
  std::vector<std::string> missing;
  for (const std::string& thing : *wanted) {
    const auto& on = *asked.p.handler->protection;
    if (std::none_of(on.begin(), on.end(), [&](const std::string& worn) { return same_name(worn, thing); })) missing.push_back(thing);
  }
  return missing.empty() ? say(State::pass, "judge.protection.worn", *wanted) : say(State::refused, "judge.protection.missing", missing);
}

Answered exclusion_rule(const Case& asked) {
  if (!asked.p.nearest_person) return std::nullopt;
  std::optional<Droplets> droplets = asked.p.droplets;
  if (!droplets && asked.card.conditions.droplets.value() != nullptr) droplets = *asked.card.conditions.droplets.value();
  const Length kept = exclusion_distance(droplets, asked.p.release_height);
  const bool near = *asked.p.nearest_person < kept;
  return outcome_of(Rule::exclusion, near ? State::refused : State::pass, "conditions.droplets",
                    near ? "judge.exclusion.too_near" : "judge.exclusion.clear", {{"distance", kept}, {"person", *asked.p.nearest_person}});
}

}  // namespace leafturn::label
