#pragma once
/// Label cards from TOML (docs/card.md, docs/card.schema.json).

#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "core/label/card.hpp"

namespace leafturn::io {

/// Unknown keys are kept as `OtherStatement`s (shown, conditional), never dropped. Wrong types and impossible values are refused with line
/// and field: the first of them.
Result<label::Card> read_card_toml(std::string_view bytes, const std::string& name);

/// A card being written: what can be read of it, and everything wrong with it.
struct CardDraft {
  label::Card card;
  std::vector<Error> errors;  ///< empty: `read_card_toml` takes it
};
CardDraft draft_card_toml(std::string_view bytes, const std::string& name);

/// The lines of a card's file as JSON, dates as text; `null` for what isn't TOML.
std::string card_as_json(std::string_view bytes);

}  // namespace leafturn::io
