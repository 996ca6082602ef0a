#pragma once
/// A question to a card, as a page asks it.

#include <string>
#include <string_view>

#include "app/record.hpp"

namespace leafturn::app {

struct TreatAsked {
  TreatQuestion question;  ///< `on` isn't set yet
  std::string on;          ///< when, as written: whoever knows the garden's zone reads it
};

/// `bytes`: a JSON object with `bed`, `product`, `on`; optional `rate`, `pest`, `growth_stage`, `told` (docs/events.md). Errors:
/// `server.not_json` where it is no JSON object, and those of an event's fields.
Result<TreatAsked> read_treat_question(std::string_view bytes);

/// As an application's `told` is written; `{}` when nothing was.
std::string told_json(const garden::Told& told);

}  // namespace leafturn::app
