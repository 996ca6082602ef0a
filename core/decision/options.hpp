#pragma once
/// What could be done about a pest in a bed, gentlest first, and what the cards refuse.

#include "core/decision/outlook.hpp"

namespace leafturn::decision {

struct Choices {
  std::vector<Option> offered;
  std::vector<Option> refused;
};

/// Offered only with an effect on a stage that is there (by count, else by calendar), published or said to be common practice. Sprays are
/// judged for every planting in the bed at the card's lowest rate, ending at the brief's time; what is refused or unknown is listed with
/// why.
Choices choices(const BedContext& bed, const pest::Dossier& dossier, const OutlookParts& parts, const garden::Planting& host);

/// Beds a pest would go to if this one were pulled: standing hosts, best liked and nearest first, at most `most`.
std::vector<std::string> at_risk(const BedContext& bed, const pest::Dossier& dossier, std::size_t most);

/// Whether the planting has given its last planned harvest.
bool past_harvest(const garden::Planting& planting, Date today);

}  // namespace leafturn::decision
