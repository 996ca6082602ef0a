#pragma once
/// Label cards from TOML (docs/card.md).

#include <string>
#include <string_view>

#include "core/base/result.hpp"
#include "core/label/card.hpp"

namespace leafturn::io {

/// Unknown keys are kept as `OtherStatement`s (shown, conditional), never dropped. Wrong types and impossible values are refused with line
/// and field.
Result<label::Card> read_card_toml(std::string_view bytes, const std::string& name);

}  // namespace leafturn::io
