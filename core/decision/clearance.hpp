#pragma once
/// When a bed may be picked and entered, from what was sprayed there and what is planned.

#include "core/decision/brief.hpp"

namespace leafturn::decision {

struct BedClearance {
  Clearance harvest, entry;
  bool locked = false;      ///< an application outside the label, not released since
  bool not_judged = false;  ///< an application made that nobody has judged yet
  bool spray_planned = false;
};

/// Every application made in the bed, judged with the card it names for every crop that stood there then, pulled since or not; the latest
/// end holds. No card, or a field not copied: not known, which is not clear, for picking as long as a sprayed crop stands, for entering a
/// year at least. An application outside the label, or not judged yet, keeps the harvest until the bed is released or it is judged; the
/// times its card names run on after that.
BedClearance clearance(const BriefRequest& request, const std::string& bed, const std::vector<const garden::Planting*>& standing);

/// Has a planned application been made or called off since?
bool plan_finished(const garden::Garden& garden, const Id& plan);

}  // namespace leafturn::decision
