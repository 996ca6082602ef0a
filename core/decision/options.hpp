#pragma once
/// What could be done about a pest in a bed, gentlest first, and what the cards refuse.

#include "core/decision/outlook.hpp"

namespace leafturn::decision {

struct Choices {
  std::vector<Option> offered;
  std::vector<Option> refused;
};

/// Offered only with an effect on a stage that is there (by count, else by calendar), published, said to be common practice or, lastly and
/// saying so, rated from memory. Sprays are judged for every planting in the bed at the card's lowest rate, ending at the brief's time;
/// what is refused or unknown is listed with why.
Choices choices(const BedContext& bed, const pest::Dossier& dossier, const OutlookParts& parts, const garden::Planting& host);

/// Words of what `efficacy` works on that mean a stage in `there`.
std::vector<std::string> effective_on(const pest::Dossier& dossier, const pest::Efficacy& efficacy, const std::vector<std::size_t>& there);
/// 0 prevent, 1 physical, 3 chemical, by what is done; products are told by their actives: `order_of_active`.
int order_of(std::string_view means);
/// 2 microbial, 3 any other that was tried, `rated_only` where no trial was read and a rating from memory stands for one.
int order_of_active(const label::Active& active, const pest::Efficacy& effect);
inline constexpr int rated_only = 4;
/// Minutes of going over a bed by hand at so many finds a plant: common practice, no source. 0 where nobody said how many plants.
int hand_minutes(const garden::Planting& host, double found_per_plant);
/// Days back in which something done counts as tried.
inline constexpr int tried_days = 10;
/// Whether that was done in the bed in the last `tried_days` days: `hand-pick`, `water`, or a product.
bool tried_lately(const BedContext& bed, std::string_view means);
/// The latest copy of each product's card.
std::vector<std::pair<Digest, const label::Card*>> cards_in_use(const BriefRequest& request);
/// A card's verdict for every planting in the bed at its lowest rate, against that pest and with all that stands around, ending then: the
/// strictest.
label::Judgement judge_bed(const BedContext& bed, const label::Card& card, const pest::Dossier& pest, Instant end);

/// Beds a pest would go to if this one were pulled: standing hosts, best liked and nearest first, at most `most`.
std::vector<std::string> at_risk(const BedContext& bed, const pest::Dossier& dossier, std::size_t most);

/// Whether the planting has given its last planned harvest.
bool past_harvest(const garden::Planting& planting, Date today);

}  // namespace leafturn::decision
