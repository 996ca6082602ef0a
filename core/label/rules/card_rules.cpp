#include <algorithm>
#include <array>

#include "core/label/fields.hpp"
#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

// Conditions that labels state so often that they have a sentence of their own; every other one is shown as it was copied.
Reason say_other(const OtherStatement& o) {
  struct Known {
    std::string_view field, value, code;
  };
  static constexpr std::array known = {
      Known{"conditions.max_temp_c", "", "judge.other.max_temp"},
      Known{"conditions.min_temp_c", "", "judge.other.min_temp"},
      Known{"conditions.max_wind_kmh", "", "judge.other.max_wind"},
      Known{"conditions.min_wind_kmh", "", "judge.other.min_wind"},
      Known{"conditions.rainfast_hours", "", "judge.other.rainfast"},
      Known{"conditions.buffer_m", "", "judge.other.buffer"},
      Known{"conditions.bees", "not-while-foraging", "judge.other.bees_foraging"},
      Known{"conditions.bees", "not-on-open-flowers", "judge.other.bees_flowers"},
  };
  for (const Known& k : known)
    if (o.field == k.field && (k.value.empty() || o.text == k.value)) return {std::string(k.code), {{"text", o.text}}};
  return {"judge.other.read", {{"field", o.field}, {"text", o.text}}};
}

/// What ties the card to a container. Lacking, the card may still be right, so the reader is sent to the container.
void identity(const Case& asked, std::vector<Outcome>& out) {
  const Card& card = asked.card;
  const auto say = [&](std::string field, std::string code, std::vector<Fact> facts = {}) {
    out.push_back(outcome_of(Rule::other, State::conditional, std::move(field), std::move(code), std::move(facts)));
  };
  const bool exempt = card.exempt.value() != nullptr && *card.exempt.value();
  if (card.registration.empty() && !exempt) say(field_of_card("registration"), "judge.card.no_registration");
  if (card.actives.empty()) say("active", "judge.card.no_actives");
  if (card.copied_by.empty()) say(field_of_card("copied_by"), "judge.card.no_copied_by");
  if (card.whole && card.checked_by.empty()) say(field_of_card("checked_by"), "judge.card.not_checked");
  if (!card.copied_on) return say(field_of_card("copied_on"), "judge.card.no_copied_on");
  constexpr int year = 365;
  const Date held = card.checked_on && *card.checked_on > *card.copied_on ? *card.checked_on : *card.copied_on;
  if ((asked.p.on.time.date - held).count > year) say(field_of_card("copied_on"), "judge.card.old", {{"copied_on", held}});
}

}  // namespace

Answered expiry_rule(const Case& asked) {
  const Date* day = asked.card.expires.value();
  if (day == nullptr) return std::nullopt;
  const bool over = asked.p.on.time.date > *day;
  return outcome_of(Rule::expiry, over ? State::refused : State::pass, field_of_card("expires"),
                    over ? "judge.expiry.over" : "judge.expiry.until", {{"day", *day}});
}

std::vector<Outcome> copied_rule(const Case& asked) {
  std::vector<Outcome> out;
  if (!asked.card.whole) return out;
  for (const std::string& field : missing_fields(asked.card, asked.uses))
    out.push_back(outcome_of(Rule::copied, State::unknown, field, "judge.copied.missing", {{"field", field}}));
  return out;
}

std::vector<Outcome> other_rule(const Case& asked) {
  std::vector<Outcome> out;
  identity(asked, out);
  for (const OtherStatement& o : asked.card.others) {
    // The bees' rule has said it.
    if (o.field == "conditions.bees" && asked.card.conditions.bees.value() != nullptr) continue;
    Outcome said = outcome_of(Rule::other, State::conditional, o.field, {});
    said.reason = say_other(o);
    said.card_line = o.line;
    out.push_back(std::move(said));
  }
  for (const std::size_t i : asked.uses) {
    const Adjuvant* adjuvant = asked.use(i).adjuvant.value();
    if (adjuvant == nullptr || *adjuvant == Adjuvant::allowed) continue;
    Outcome said = outcome_of(Rule::other, State::conditional, field_of(i, "adjuvant"),
                              *adjuvant == Adjuvant::required ? "judge.other.adjuvant_required" : "judge.other.adjuvant_banned");
    said.card_line = asked.use(i).line;
    out.push_back(std::move(said));
  }
  return out;
}

}  // namespace leafturn::label
