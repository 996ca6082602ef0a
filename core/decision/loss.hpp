#pragma once
/// What a pest does to what is grown for use, and what that is expected to cost, over every member of the population's ensemble. Money
/// needs a published (or own) loss curve, a yield and a price; kilograms the first two; where no curve is known, only how far and how long
/// they are expected above the published threshold is said; where there is no threshold either, only how many feed how long.

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/decision/brief.hpp"
#include "core/decision/economics.hpp"

namespace leafturn::decision {

/// Where a harvest goes. A kitchen takes a leaf with a hole that no shop takes.
enum class Outlet { sale, box, donation, kitchen };
std::string_view word_for(Outlet outlet);

/// The class of damage to a crop: what its dossier says of that crop, else of every host; null when it says nothing.
const pest::Damage* damage_to(const pest::Dossier& dossier, std::string_view crop);
/// Whether the harm is a mark on what is picked or something in it, which costs what the outlet rejects; else it is yield that isn't grown,
/// gone wherever the rest would have gone.
bool is_by_rejection(pest::Damage::Kind kind);
/// Stages that eat or suck on the plant: instars, and adults except those of moths, butterflies and flies.
std::vector<std::size_t> feeding_stages(const pest::Dossier& dossier);

/// Share of what a plant yields that is lost, by injury in feeding individual-days per plant: levels off as economics.hpp's Hyperbola.
struct LossCurve {
  Hyperbola share;
  std::optional<Outlet> outlet;  ///< for whom it was measured, where the harm is by rejection
  pest::Source source;
};

/// The middle of a dossier's published loss per feeding individual and day; where the harm is by rejection, times what that outlet refuses.
/// Nothing where either wasn't published, or was for a whole life.
std::optional<LossCurve> published_curve(const pest::Damage& damage, Outlet outlet);

/// The share of what is looked over at the packing table that an outlet rejects because of one pest: a beta distribution, before any cull
/// Jeffreys' (½, ½).
struct RejectShare {
  double rejected = 0.5, kept = 0.5;
  double mean() const { return rejected / (rejected + kept); }
  Estimate estimate() const;
  double probability_over(double share) const;
  bool learned() const { return rejected + kept > 1.0; }
};
struct Culls {
  std::string cause;  ///< dossier id, or another word for what isn't a pest
  int pieces = 0;
};
/// After `looked_over` pieces of which these were culled: a cull for another cause says nothing of this one, so it counts neither way
/// (beta–binomial). Counts that can't be (negative, more culls than pieces) change nothing.
RejectShare after_culls(RejectShare before, int looked_over, std::span<const Culls> culls, std::string_view cause);
/// The loss curve that this garden's own packing table teaches: a straight line through the reject share at the injury it was seen at.
/// Nothing without culls or injury.
std::optional<LossCurve> curve_from_culls(const RejectShare& share, double injury, Outlet outlet);

/// What the harvest of a bed is worth, as far as somebody said.
struct Worth {
  std::optional<Mass> per_plant;  ///< still to be picked
  std::optional<Money> per_kg;
  Outlet outlet = Outlet::sale;
};

/// In what the loss can be said. `money` the garden's currency · `mass` grams · `threshold` days at one threshold above the threshold (a
/// day at three times it counts 2) · `injury` feeding individual-days per plant.
enum class LossUnit { money, mass, threshold, injury };
std::string_view word_for(LossUnit unit);

/// On what an expected loss rests.
struct LossBasis {
  LossUnit unit = LossUnit::injury;
  double plants = 0.0;
  const pest::Damage* damage = nullptr;
  const pest::Threshold* threshold = nullptr;
  std::optional<LossCurve> curve;
  Worth worth;
  Reason why;  ///< `loss.money`, `loss.mass`, or why it is less: `loss.no_curve`, `loss.no_price`, `loss.no_threshold`
};
/// `curve`: sourced, for this pest and crop; a curve by rejection counts only for the outlet it was measured for.
LossBasis loss_basis(const pest::Dossier& dossier, std::string_view crop, double plants, const Worth& worth,
                     const std::optional<LossCurve>& curve);

/// How many per plant, day by day, of each member.
struct Crowd {
  std::size_t days = 0, members = 0;
  std::vector<float> per_plant;  ///< [day·members + member]
  float at(std::size_t day, std::size_t member) const { return per_plant[day * members + member]; }
};

/// [member] individual-days per plant.
std::vector<double> injury(const Crowd& feeding);
/// Share of plants with any, at a mean per plant, when counts are negative binomial: 1 − (1 + m/k)^−k.
double share_infested(double mean, double k);

/// One bed's fate in every member.
struct Harm {
  std::vector<double> loss;       ///< [member] in the basis's unit
  std::vector<double> days_over;  ///< [member] days above the threshold; empty without one
};
/// `feeding`: of feeding_stages · `counted`: what the threshold counts (masses as masses); unused without a threshold · `k`: of the counts,
/// for thresholds that are a share of plants.
Harm harm(const LossBasis& basis, const Crowd& feeding, const Crowd& counted, double k);

/// Mean, the interval that holds 90 %, and the mean's standard error from the number of members that count.
struct Expectation {
  double mean = 0.0, p05 = 0.0, p95 = 0.0;
  double error = 0.0;
};
/// `weights` sum to 1; empty means equal ones.
Expectation expectation(std::span<const double> values, std::span<const double> weights);
/// Weight of the members in which `values` is above `limit`.
double weight_above(std::span<const double> values, std::span<const double> weights, double limit);

}  // namespace leafturn::decision
