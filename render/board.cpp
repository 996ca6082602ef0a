#include "render/board.hpp"

#include <algorithm>

namespace leafturn::render {

May may(const decision::Clearance& clearance) {
  if (clearance.clear) return May::yes;
  return clearance.from ? May::no : May::unknown;
}

std::string_view word_for(May may) {
  switch (may) {
    case May::yes:
      return "yes";
    case May::no:
      return "no";
    case May::unknown:
      return "unknown";
  }
  return "";
}

std::vector<BoardLine> board(const app::BriefAnswer& answer) {
  std::vector<BoardLine> lines;
  for (const garden::BedLaid& laid : answer.garden.beds) {
    const auto bed = std::find_if(answer.brief.beds.begin(), answer.brief.beds.end(), [&](const auto& b) { return b.bed == laid.bed; });
    if (bed == answer.brief.beds.end()) continue;
    BoardLine line{bed->bed, bed->crop, may(bed->harvest), may(bed->entry), {}, {}};
    // A bed outside the label or not judged yet and a planned spray say plainly no, not 'unknown'.
    for (const std::string_view plain : {"clear.outside_label", "clear.not_judged", "clear.spray_planned"}) {
      if (bed->harvest.why.code == plain) line.pick = May::no;
      if (bed->entry.why.code == plain) line.enter = May::no;
    }
    if (line.pick != May::yes) line.why.push_back(bed->harvest.why);
    if (line.enter != May::yes && bed->entry.why.code != bed->harvest.why.code) line.why.push_back(bed->entry.why);
    const bool known = (bed->harvest.clear || bed->harvest.from) && (bed->entry.clear || bed->entry.from);
    if (known && bed->harvest.from) line.until = bed->harvest.from;
    if (known && bed->entry.from && (!line.until || *bed->entry.from > *line.until)) line.until = bed->entry.from;
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace leafturn::render
