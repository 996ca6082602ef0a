#pragma once
/// One bed's part of the brief, with what the walk needs to know about it.

#include "core/decision/options.hpp"

namespace leafturn::decision {

struct BedParts {
  BedBrief brief;
  struct PestParts {
    const pest::Dossier* dossier = nullptr;
    const garden::Planting* host = nullptr;
    OutlookParts parts;
    Urgency urgency = Urgency::none;
  };
  std::vector<PestParts> pests;  ///< most urgent first
};

BedParts bed_brief(const Context& context, const std::string& bed);

}  // namespace leafturn::decision
