#pragma once
/// When a bed may be picked and entered, from what was sprayed there and what is planned.

#include "core/decision/brief.hpp"

namespace leafturn::decision {

struct BedClearance {
  Clearance harvest, entry;
  bool locked = false;        ///< an application outside the label, not released since
  bool spray_planned = false;
};

/// Every application made in the bed on plantings that stand there now, judged with the card as it was then; the latest end holds. No card, or a field not
/// copied: not known, which is not clear. An application outside the label is never clear until the bed is released.
BedClearance clearance(const BriefRequest& request, const std::string& bed, const std::vector<const garden::Planting*>& standing);

}  // namespace leafturn::decision
