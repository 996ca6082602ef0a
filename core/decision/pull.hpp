#pragma once
/// Pulling a crop: which other beds then run the risk of what lived on it, and what doing something first changes. How far these insects go
/// was seldom measured, so what is said is a rank and a chance, never a number of insects.

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "core/decision/compare.hpp"
#include "core/population/unknowns.hpp"

namespace leafturn::decision {

/// One way of going about it.
struct PullPlan {
  const Act* first = nullptr;           ///< what is done before; null: nothing
  Date on;                              ///< when the crop is pulled
  bool cleared = true;                  ///< the debris leaves the garden, is buried or composted hot the same day; else it lies
  std::vector<population::Deed> deeds;  ///< all of them, the pull the last
};
/// Pulling at once with the debris lying and with it cleared, then, for each of `acts` that kills some of those present, doing it first and
/// pulling and clearing the day after it, or when the bed may be entered again. Nothing when no source says what pulling does to this pest.
std::vector<PullPlan> pull_plans(const ActsRequest& request, std::span<const Act> acts);

/// A bed that may receive them.
struct Receiver {
  std::string bed;
  std::size_t place = 0;  ///< in the world
  std::string crop;
  double metres = 0.0;  ///< between the middles of the beds
  int liking = 0;       ///< 3 preferred … 1 when nothing better is there
  const pest::Threshold* threshold = nullptr;
};

enum class Risk { high, some, little };
std::string_view word_for(Risk risk);

/// The risk of one receiving bed. Cut points are ours: `high` when it is among the most affected more often than not, or when pulling adds
/// 20 in 100 to its chance of passing the threshold within 14 days; `some` at half of either.
struct BedRisk {
  const Receiver* receiver = nullptr;
  double among_most = 0.0;  ///< chance to be in the third (at least one bed) that gets most more than without pulling
  double over_more = 0.0;   ///< chance to pass its threshold within 14 days, less the same without pulling; 0 without a threshold
  Risk risk = Risk::little;
};

struct PlanRisk {
  const PullPlan* plan = nullptr;
  std::array<std::vector<BedRisk>, 3> by_way;  ///< worst first, if all moved this way: in the order of population::Movement
  std::vector<BedRisk> together;               ///< worst first, the ways weighed by what the counts say
  /// Feeding done in other beds because of it, as a share of what pulling at once with the debris lying does: mean and 90 % interval.
  Estimate against_plain;
};

struct PullRequest {
  const pest::Dossier* dossier = nullptr;
  const population::World* world = nullptr;
  std::size_t bed = 0;
  PathsOf paths;
  std::vector<double> weights;             ///< of members in the pulled bed; empty = equal
  std::vector<population::Movement> ways;  ///< [member] how adults of the pulled bed move
  std::span<const Receiver> receivers;
  std::span<const PullPlan> plans;  ///< the plain one first
  double k = assumed_k;
  int days = 14;  ///< after pulling
};

struct PullAnswer {
  std::vector<PlanRisk> plans;   ///< as asked
  std::array<double, 3> ways{};  ///< weight of each way of moving
  std::size_t least = 0;         ///< the plan that sends least on
};
PullAnswer pull_risks(const PullRequest& request);

/// Other beds with a host, worst liked last, then by distance.
std::vector<Receiver> receivers_of(const BedContext& bed, const pest::Dossier& dossier, const population::World& world);

}  // namespace leafturn::decision
