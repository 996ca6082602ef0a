#include <algorithm>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

Outcome agency_allows(Rule rule, const AgencyAnswer& agency) {
  return outcome_of(rule, State::conditional, field_of_card("setting"), "judge.sale.agency_allows",
                    {{"on", agency.on.iso()}, {"words", agency.words}});
}

}  // namespace

Outcome setting_rule(const Case& asked) {
  const auto say = [](State state, std::string code) {
    return outcome_of(Rule::setting, state, field_of_card("setting"), std::move(code));
  };
  const Card& card = asked.card;
  if (!card.setting.is_copied()) return say(State::unknown, "judge.setting.not_copied");
  if (card.setting.says_none()) return say(State::conditional, "judge.setting.none_stated");
  const CardSetting on_card = *card.setting.value();
  if (on_card == CardSetting::both) return say(State::pass, "judge.setting.both");
  if (!asked.p.setting) return say(State::unknown, "judge.setting.not_given");
  const bool residential = *asked.p.setting == garden::Setting::residential;
  if ((on_card == CardSetting::residential) == residential) return say(State::pass, "judge.setting.same");
  if (!residential && asked.p.agency && asked.p.agency->allows) return agency_allows(Rule::setting, *asked.p.agency);
  return say(State::refused, residential ? "judge.setting.agricultural_only" : "judge.setting.residential_only");
}

Answered registered_rule(const Case& asked) {
  const Card& card = asked.card;
  if (!card.registered_in.is_copied()) return std::nullopt;
  const auto say = [](State state, std::string code, std::vector<Fact> facts = {}) {
    return outcome_of(Rule::registered, state, field_of_card("registered_in"), std::move(code), std::move(facts));
  };
  if (card.registered_in.says_none()) return say(State::conditional, "judge.registered.none_stated");
  if (!asked.p.jurisdiction || asked.p.jurisdiction->empty()) return say(State::unknown, "judge.registered.no_jurisdiction");
  const auto& places = *card.registered_in.value();
  const Fact here{"place", *asked.p.jurisdiction};
  const bool named = std::find(places.begin(), places.end(), *asked.p.jurisdiction) != places.end();
  // A garden that says only its country could lie in a state where it is registered, or in another.
  const std::string within = *asked.p.jurisdiction + "-";
  const bool state_missing = std::any_of(places.begin(), places.end(), [&](const std::string& place) { return place.starts_with(within); });
  if (!named && state_missing) return say(State::unknown, "judge.registered.no_jurisdiction");
  return named ? say(State::pass, "judge.registered.here", {here}) : say(State::refused, "judge.registered.elsewhere", {here});
}

Answered sale_rule(const Case& asked) {
  const CardSetting* setting = asked.card.setting.value();
  if (setting == nullptr || *setting != CardSetting::residential || !asked.p.produce) return std::nullopt;
  const auto say = [](State state, std::string code) { return outcome_of(Rule::sale, state, field_of_card("setting"), std::move(code)); };
  if (*asked.p.produce == Produce::kept) return say(State::pass, "judge.sale.kept");
  if (!asked.p.agency) return say(State::refused, "judge.sale.no_answer");
  if (!asked.p.agency->allows) return say(State::refused, "judge.sale.agency_refuses");
  return agency_allows(Rule::sale, *asked.p.agency);
}

Answered organic_rule(const Case& asked) {
  if (!asked.p.organic || !*asked.p.organic) return std::nullopt;
  const auto say = [](State state, std::string code, std::vector<Fact> facts = {}) {
    return outcome_of(Rule::organic, state, field_of_card("organic_listed"), std::move(code), std::move(facts));
  };
  const auto& listed = asked.card.organic_listed;
  if (!listed.is_copied()) return say(State::unknown, "judge.organic.not_copied");
  if (listed.value() == nullptr || !*listed.value()) return say(State::refused, "judge.organic.not_listed");
  // 7 CFR 205.206(e): a substance only where prevention, mechanical and physical means weren't enough.
  if (asked.p.tried.empty()) return say(State::conditional, "judge.organic.nothing_tried");
  const Tried& last = asked.p.tried.back();
  return say(State::pass, "judge.organic.tried",
             {{"means", Term{"means." + last.means}}, {"on", last.on}, {"times", std::int64_t(asked.p.tried.size())}});
}

Answered cover_rule(const Case& asked) {
  const bool enclosed = asked.p.enclosed && *asked.p.enclosed;
  const bool covered = asked.p.covered && *asked.p.covered;
  const Answered glass = !enclosed ? std::nullopt : asked.worst_of_uses([&](std::size_t i) {
    const auto& stated = asked.use(i).greenhouse;
    const auto say = [&](State state, std::string code) {
      return outcome_of(Rule::cover, state, field_of(i, "greenhouse"), std::move(code));
    };
    if (!stated.is_copied()) return say(State::unknown, "judge.cover.not_copied");
    if (stated.says_none()) return say(State::conditional, "judge.cover.none_stated");
    return *stated.value() ? say(State::pass, "judge.cover.greenhouse") : say(State::refused, "judge.cover.not_greenhouse");
  });
  if (covered && (!glass || badness(glass->state) < badness(State::conditional)))
    return outcome_of(Rule::cover, State::conditional, "use", "judge.cover.take_off");
  return glass;
}

Answered growth_stage_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) -> Answered {
    const StageWindow* window = asked.use(i).growth_stage.value();
    if (window == nullptr) return std::nullopt;
    const auto say = [&](State state, std::string code) {
      return outcome_of(Rule::growth_stage, state, field_of(i, "growth_stage"), std::move(code),
                        {{"from", std::int64_t{window->from}}, {"to", std::int64_t{window->to}}});
    };
    if (!asked.p.growth_stage) return say(State::conditional, "judge.growth_stage.not_given");
    const bool inside = *asked.p.growth_stage >= window->from && *asked.p.growth_stage <= window->to;
    return inside ? say(State::pass, "judge.growth_stage.inside") : say(State::refused, "judge.growth_stage.outside");
  });
}

}  // namespace leafturn::label
