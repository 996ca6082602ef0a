#pragma once
/// The form of a whole card: every line a label may have that a rule needs, in the order labels print them. The card editor follows it, the
/// rule `copied` asks for it, docs/card.schema.json is held against it.

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/label/card.hpp"

namespace leafturn::label {

struct CardField {
  enum class Block { card, use, conditions } block = Block::card;
  std::string_view key;  ///< as in the file: `max_product`; of two ends `rate.min`
  /// Asked for by a rule of its own, which says that it isn't copied; on a whole card the others are asked for by `copied`.
  bool own_rule = false;
};

std::span<const CardField> card_fields();
/// Has this line been copied, with a value or as 'none stated'? `use`: which block of directions, for fields of `Block::use`.
bool is_copied(const Card& card, const CardField& field, std::size_t use);
/// The fields, by the name outcomes use (`use[2].max_product`), that a whole card lacks; of directions only `uses`. Without those that have
/// a rule of their own.
std::vector<std::string> missing_fields(const Card& card, std::span<const std::size_t> uses);

}  // namespace leafturn::label
