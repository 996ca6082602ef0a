#pragma once
/// A pest's life as the population model needs it: chains of substages, what lays, what dies, what flies. Compiled from a dossier; what the
/// dossier doesn't know is filled by a default that is named in `assumed`, never silently.

#include <cstddef>
#include <optional>
#include <vector>

#include "core/base/fact.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::population {

/// More substages than this say nothing about a garden that the counts could contradict, and cost time: a stage's coefficient of variation
/// is at least 1/√24 = 0.20.
inline constexpr int most_substages = 24;

struct LifeStage {
  std::size_t first = 0;  ///< index of its first substage
  std::size_t count = 1;  ///< substages
  pest::StageGroup group = pest::StageGroup::egg;
  double loss_per_day = 0.0;  ///< hazard of dying by anything but named enemies, work and sprays, middle of the prior
  /// Share of those on the looked-at plants that a scout sees, middle of the prior; 0 where it sits out of sight (soil, roots, inside the
  /// stem, on the wing): a count of such a stage says nothing of how many there are.
  double detection = 1.0;
  double detection_sd = 0.0;  ///< its standard deviation
  bool eaten = false;         ///< by the enemies the dossier names (or, where it names none, juveniles)
  bool walks = false;         ///< old enough to walk to the next bed when its plant is pulled
};

struct Life {
  const pest::Dossier* dossier = nullptr;
  std::vector<LifeStage> stages;  ///< as the dossier's, in order
  std::size_t substages = 0;      ///< of all stages together
  std::size_t laying = 0;         ///< stage that lays or bears: the last
  std::size_t arriving = 0;       ///< stage that flies in from outside and between beds: the last adult stage
  double young_per_adult = 0.0;   ///< eggs, or young, in a whole life of the laying stage, of an average adult (males counted in)
  double young_at_once = 1.0;     ///< eggs in a mass; 1 for single eggs and for live birth
  /// Added to every stage outdoors where the losses above come from a laboratory and would leave more than ten a generation (assumed); else
  /// 0.
  double outdoor_loss_per_day = 0.0;
  double net_reproduction = 0.0;  ///< offspring reaching the laying stage of one that did, at `loss_per_day` and 22 °C, without enemies
  std::optional<std::size_t> rest_decided;   ///< stage on whose leaving short days send a share to rest
  std::optional<std::size_t> rests;          ///< stage in which they rest
  double leave_low = 0.0, leave_high = 0.0;  ///< adults leaving a good bed a day, range of the prior
  double distance_m = 0.0;                   ///< mean distance of a flight between beds
  std::vector<Reason> assumed;               ///< what no source gave, with the value taken
};

/// `dossier` must outlive it. Adults die at 0.02 a day (assumed), on top of the age at which their development ends. A younger stage whose
/// survival S was published dies at the hazard that leaves S at 22 °C, exactly: (1 + μD/k)^−k = S for an Erlang(k) stage of D days. The
/// other young stages share one hazard, set so that `net_reproduction` is what the dossier measured outdoors, else 4 (assumed: field
/// populations seldom grow faster in a generation); 0 where they don't reach that even without deaths. Where a stage doesn't develop at
/// 22 °C, the warmest whole temperature up to 35 °C at which all do stands in, and `assumed` says so; where there is none, the young die at
/// 0.05 a day and net_reproduction is 0: not known.
Life life_of(const pest::Dossier& dossier);

/// Of those on a plant looked at, the share that a scout sees: published in the dossier, else assumed by how large and how hidden they are;
/// 0 out of sight.
double share_seen(const pest::Dossier& dossier, std::size_t stage);

/// Offspring reaching the laying stage of one that did, at `t`, with the hazards of `life`; nothing where a stage doesn't develop.
/// young·r·∫(in the laying stage) dt · Π survival of the stages before, both in closed form for Erlang stages.
std::optional<double> net_reproduction(const Life& life, Temperature t);

/// Growth a day, per head, of a population with stable ages at constant `t`: the root x of 1 = young·A(x)·Π(1 + (x + μ)D/k)^−k (Euler 1760,
/// Lotka 1907; from memory). Within ±2 a day, to 1e-9; nothing where a stage doesn't develop.
std::optional<double> growth_per_day(const Life& life, Temperature t);

}  // namespace leafturn::population
