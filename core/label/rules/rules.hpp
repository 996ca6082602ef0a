#pragma once
/// The rules, one small function each: docs/card.md, 'What the rules answer', says what each answers. A rule that has nothing to say of a
/// card and a proposal answers nothing.

#include "core/label/rules/case.hpp"

namespace leafturn::label {

using Answered = std::optional<Outcome>;

// What is treated: crop.cpp. `crop_rule` also finds the uses that cover the crop; `method_rule` leaves out those of another method.
Outcome crop_rule(Case& asked);
Answered method_rule(Case& asked);
Answered pest_rule(const Case& asked);
std::vector<Outcome> drift_rule(const Case& asked);

// How much: rate.cpp, amount.cpp.
Answered rate_rule(const Case& asked);
Answered water_rule(const Case& asked);
Answered amount_rule(const Case& asked);

// How long: times.cpp.
/// Ends of the waits, as far as they are known.
struct Waits {
  std::optional<std::int64_t> harvest_from;  ///< by the days alone; absent when a use's weren't copied
  std::optional<std::int64_t> entry_from;    ///< of the hours; absent when unknown or only 'until dry'
  bool reentry_known = false;
  bool until_dry = false;
};
Answered pre_harvest_rule(const Case& asked, Waits& waits);
Answered reentry_rule(const Case& asked, Waits& waits);
Answered work_rule(const Case& asked);
Answered feed_rule(const Case& asked);
Answered plant_back_rule(const Case& asked);

// What went before: history.cpp.
Answered interval_rule(const Case& asked);
Answered max_applications_rule(const Case& asked);
Answered consecutive_rule(const Case& asked);
Answered rotation_rule(const Case& asked);
Answered oil_sulfur_rule(const Case& asked);

// Where: place.cpp.
Outcome setting_rule(const Case& asked);
Answered registered_rule(const Case& asked);
Answered sale_rule(const Case& asked);
Answered organic_rule(const Case& asked);
Answered cover_rule(const Case& asked);
Answered growth_stage_rule(const Case& asked);

// Who, and who stands near: people.cpp.
Answered licence_rule(const Case& asked);
Answered handler_rule(const Case& asked);
Answered protection_rule(const Case& asked);
Answered exclusion_rule(const Case& asked);

// Bees: bees.cpp.
Answered bees_rule(const Case& asked);

// The card itself: card_rules.cpp.
Answered expiry_rule(const Case& asked);
std::vector<Outcome> copied_rule(const Case& asked);
std::vector<Outcome> other_rule(const Case& asked);

/// What would make an outcome allowed, from its reason's code; no code for a pass.
Reason remedy_for(const Outcome& outcome);

}  // namespace leafturn::label
