#pragma once
/// The rule engine: may this be applied, there, then? Label law has no override; an absent field is unknown; anything the rules don't judge
/// makes the answer conditional. A verdict is reasons first and a word second.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/label/proposal.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::label {

/// In the order they are asked.
enum class Rule {
  crop,
  method,
  pest,
  rate,
  water,
  amount,
  pre_harvest,
  reentry,
  work,
  feed,
  interval,
  max_applications,
  consecutive,
  rotation,
  oil_sulfur,
  plant_back,
  setting,
  registered,
  sale,
  organic,
  cover,
  growth_stage,
  licence,
  handler,
  protection,
  exclusion,
  bees,
  drift,
  expiry,
  copied,
  other
};
enum class State { pass, conditional, refused, unknown };

/// One rule's answer: which field of the card it rests on, and why, as a reason code of the catalogue (`judge.crop.listed` …).
struct Outcome {
  Rule rule = Rule::other;
  State state = State::unknown;
  std::string card_field;  ///< `use[2].pre_harvest_days`
  int card_line = 0;
  Reason reason;
  Reason remedy;  ///< what would make it allowed, or that nothing would; no code where it passes
};

enum class Verdict { allowed, conditional, refused, unknown };

struct Judgement {
  Verdict verdict = Verdict::unknown;
  std::vector<Outcome> outcomes;              ///< every rule, worst first
  std::optional<CivilTime> earliest_harvest;  ///< later of pre-harvest and re-entry end; absent when it can't be known
  std::optional<CivilTime> reentry;           ///< end of the hours; absent when unknown or when only 'until dry' is said
  bool reentry_until_dry = false;             ///< and not before it is dry
  std::optional<std::size_t> use;             ///< which use of the card applied
};

/// What worker protection keeps free of people while it is sprayed (40 CFR 170.405(a)): 100 ft for droplets finer than medium, 25 ft for
/// medium or coarser released above 12 in, else none. What isn't known counts as finest, and as released high.
Length exclusion_distance(const std::optional<Droplets>& droplets, const std::optional<Length>& release_height);

/// Refused if any rule refuses; else unknown if any is unknown; else conditional if any is; else allowed. Several uses that list the crop:
/// the strictest of each field. Crop groups are looked up in `library` (40 CFR 180.41 members, with how each is known); a membership known
/// only from memory is conditional; a crop the library doesn't hold, on a card that lists groups, is unknown.
Judgement judge(const Card& card, const Proposal& proposal, const pest::Library& library);

/// Several products in one tank: every card's answers, the longest of their times, the worst of their verdicts. A time one of them doesn't
/// know isn't known. Outcomes name their card before the field.
Judgement judge_tank(std::span<const Card* const> cards, const Proposal& proposal, const pest::Library& library);

std::string_view word_for(Verdict verdict);
std::string_view word_for(State state);
std::string_view word_for(Rule rule);

}  // namespace leafturn::label
