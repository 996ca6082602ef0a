#pragma once
/// What is known of an active ingredient beyond any label: how long it lasts on leaves, whom it harms, how it works. It never permits
/// anything: the label in hand does. Files: dossiers/actives/*.toml.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/pest/known.hpp"

namespace leafturn::pest {

/// The three words of the University of California's tables of relative toxicity.
enum class Harm { low, moderate, high };
enum class Lasting { brief, moderate, prolonged };

/// Share of the natural enemies on the leaves that one spray kills: 0.10, 0.40, 0.80 (from memory: a suggestion of the reference, no
/// trial).
double share_killed(Harm harm);
/// Days until they are back: 3, 10, 21 (as above).
double days_of(Lasting lasting);

struct Active {
  std::string id;    ///< file name without ending: `bt-kurstaki`
  std::string name;  ///< ISO common name, as labels give it; compare with same_active
  struct Span {
    double low = 0.0, high = 0.0;
    Source source;
  };
  std::optional<Span> half_life_days;  ///< of the residue on leaves
  /// Half-life in the tank, hours, at a pH of the water: alkaline water breaks some actives down before they are sprayed.
  struct InWater {
    double ph = 7.0;
    double low_hours = 0.0, high_hours = 0.0;
    Source source;
  };
  std::vector<InWater> in_water;              ///< by rising pH; empty: not known
  std::optional<Sourced<double>> wash_off;    ///< share of the residue that a washing rain takes
  std::optional<Span> window_days;            ///< days of useful kill after a spray
  std::optional<Sourced<bool>> contact_only;  ///< kills what is wetted, nothing once dry
  struct Harms {
    Harm low = Harm::low, high = Harm::low;  ///< `moderate` alone, or `low to moderate`
    Source source;
  };
  std::optional<Harms> predatory_mites, predators, parasites;
  struct Lasts {
    Lasting low = Lasting::brief, high = Lasting::brief;
    Source source;
  };
  std::optional<Lasts> harm_lasts;
  /// 1 never on plants in flower · 2 only when bees are not out · 3 no limit but the label's.
  std::optional<Sourced<int>> bees;
  /// IRAC group: `3A`, `UN`; `none` where it works by wetting or covering.
  Sourced<std::string> mode_of_action;
  std::vector<Figure> figures;
  std::vector<std::string> gaps;
};

/// What one spray does to the natural enemies where it lands: the mean of what is known of predators and parasites (predatory mites left
/// out, which eat mites only), from the middle of each range. Nothing where neither was rated.
struct EnemyToll {
  double killed = 0.0;  ///< share, 0 … 1
  double days = 0.0;    ///< until they are back; 10 where nobody said how long it lasts
};
std::optional<EnemyToll> enemy_toll(const Active& active);

std::string_view word_for(Harm harm);        ///< `low`, `moderate`, `high`
std::string_view word_for(Lasting lasting);  ///< `short`, `moderate`, `long`

}  // namespace leafturn::pest
