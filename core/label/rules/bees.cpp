#include <algorithm>

#include "core/label/look.hpp"
#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

// Open cucurbit flowers close by noon (from memory); their bees start before sunrise.
constexpr std::int64_t noon = 12 * 3600;

/// A look holds for so long before the application's end.
bool still_holds(const Case& asked, const BloomLook& look) {
  if (look.seen == BloomLook::Seen::not_looked) return false;
  const std::int64_t age = seconds(asked.p.on.time) - seconds(look.at);
  return asked.p.on.day_only ? look.at.date == asked.p.on.time.date : age >= 0 && age <= look_lasts.microseconds / 1'000'000;
}

struct Flowers {
  const BloomLook* open = nullptr;
  const BloomLook* cucurbit = nullptr;
  const BloomLook* unseen = nullptr;
};
Flowers flowers(const Case& asked) {
  Flowers found;
  for (const BloomLook& look : *asked.p.bloom) {
    if (!still_holds(asked, look))
      found.unseen = found.unseen == nullptr ? &look : found.unseen;
    else if (look.seen == BloomLook::Seen::open_cucurbit)
      found.cucurbit = &look;
    else if (look.seen == BloomLook::Seen::open)
      found.open = &look;
  }
  return found;
}

}  // namespace

Answered bees_rule(const Case& asked) {
  const Bees* bees = asked.card.conditions.bees.value();
  std::optional<std::size_t> ban;
  for (const std::size_t i : asked.uses)
    if (const bool* stated = asked.use(i).bloom_ban.value(); stated != nullptr && *stated && !ban) ban = i;
  if (bees == nullptr && !ban) return std::nullopt;
  const bool never_open = ban || *bees == Bees::visiting || *bees == Bees::open_flowers;
  const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
    Outcome o = outcome_of(Rule::bees, state, ban ? field_of(*ban, "bloom_ban") : "conditions.bees", std::move(code), std::move(facts));
    if (ban) o.card_line = asked.use(*ban).line;
    for (const OtherStatement& statement : asked.card.others)
      if (!ban && statement.field == "conditions.bees") o.card_line = statement.line;
    return o;
  };
  if (!never_open && *bees == Bees::other)
    return say(State::conditional, "judge.other.read",
               {{"field", std::string("conditions.bees")}, {"text", asked.card.conditions.bees_words}});
  const std::string rule_of_card = never_open ? "judge.other.bees_flowers" : "judge.other.bees_foraging";
  if (!asked.p.bloom) return say(State::conditional, rule_of_card);
  const Flowers found = flowers(asked);
  const auto place = [](const BloomLook& look) { return std::vector<Fact>{{"place", look.place}}; };
  const bool dawn = seconds(asked.p.on.time) - seconds(asked.p.on.time.date) < noon;
  if (never_open && (found.open != nullptr || found.cucurbit != nullptr))
    return say(State::refused, "judge.bees.open_flowers", place(found.open != nullptr ? *found.open : *found.cucurbit));
  if (found.cucurbit != nullptr && (dawn || asked.p.on.day_only))
    return say(State::refused, "judge.bees.cucurbit_morning", place(*found.cucurbit));
  if (found.open != nullptr || found.cucurbit != nullptr)
    return say(State::conditional, "judge.bees.when_gone", place(found.open != nullptr ? *found.open : *found.cucurbit));
  if (found.unseen != nullptr) return say(State::conditional, "judge.bees.look", place(*found.unseen));
  return say(State::pass, "judge.bees.nothing_open");
}

}  // namespace leafturn::label
