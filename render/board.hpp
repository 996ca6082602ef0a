#pragma once
/// The shed board: one line a bed, made from a brief.

#include <string>
#include <vector>

#include "app/brief.hpp"

namespace leafturn::render {

enum class May { yes, no, unknown };

struct BoardLine {
  std::string bed;
  std::optional<std::string> crop;
  May pick = May::yes, enter = May::yes;
  std::optional<Instant> until;  ///< when both are free again; absent when free now or not known
  std::vector<Reason> why;       ///< empty when both are free
};

May may(const decision::Clearance& clearance);
std::string_view word_for(May may);
/// In the garden's own order of beds, for people who read down a list.
std::vector<BoardLine> board(const app::BriefAnswer& answer);

}  // namespace leafturn::render
