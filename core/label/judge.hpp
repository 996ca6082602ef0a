#pragma once
/// The rule engine: may this be applied, there, then? Label law has no override; an absent field is unknown; anything the rules don't judge
/// makes the answer conditional. A verdict is reasons first and a word second.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/label/card.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::label {

enum class Rule { crop, rate, pre_harvest, reentry, interval, max_applications, setting, other };
enum class State { pass, conditional, refused, unknown };

/// One rule's answer: which field of the card it rests on, and why, as a reason code of the catalogue (`judge.crop.listed` …).
struct Outcome {
  Rule rule = Rule::other;
  State state = State::unknown;
  std::string card_field;  ///< `use[2].pre_harvest_days`
  int card_line = 0;
  Reason reason;
};

/// A time that may be known only to the day.
struct Moment {
  CivilTime time;
  bool day_only = false;
};

struct Past {
  Date on;
  std::string product;
};

/// What is proposed. Times are the garden's civil times; an application's time is its end.
struct Proposal {
  std::string crop;  ///< EPPO code
  Moment on;
  std::optional<ProductRate> rate;  ///< not given: the rate rule answers unknown
  std::vector<Moment> harvests;     ///< planned, after the application; empty = none planned
  std::optional<garden::Setting> setting;
  std::optional<std::vector<Past>> history;  ///< earlier applications on this planting; absent = not given
  /// The garden's, not owned. With it, hours are hours also in the night the clocks go forward, when the wall shows their end too early.
  const Zone* zone = nullptr;
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

/// Refused if any rule refuses; else unknown if any is unknown; else conditional if any is; else allowed. Several uses that list the crop:
/// the strictest of each field. Crop groups are looked up in `library` (40 CFR 180.41 members, with how each is known); a membership known
/// only from memory is conditional; a crop the library doesn't hold, on a card that lists groups, is unknown.
Judgement judge(const Card& card, const Proposal& proposal, const pest::Library& library);

std::string_view word_for(Verdict verdict);
std::string_view word_for(State state);
std::string_view word_for(Rule rule);

}  // namespace leafturn::label
