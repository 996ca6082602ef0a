#pragma once
/// What is known of a pest and of a crop, as plain values. Files: dossiers/pests/*.toml, dossiers/crops/*.toml; read by io/dossier_toml.

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/quantity.hpp"
#include "core/pest/known.hpp"

namespace leafturn::pest {

/// Linear development rate: (T − lower)/constant per day between the thresholds (Campbell et al. 1974, J. Appl. Ecol. 11:431–438);
/// above `upper`, the rate stays at its value there (horizontal cutoff); at or above `lethal`, no development.
struct LinearRate {
  Sourced<Temperature> lower;
  Sourced<DegreeDays> constant;  ///< heat above `lower` from entering the stage to leaving it (mean individual)
  std::optional<Sourced<Temperature>> upper;
  std::optional<Sourced<Temperature>> lethal;
};

/// What people count together. `stage` words in files and counts are the stage keys below or these.
enum class StageGroup { egg, nymph, larva, pupa, adult };

/// One stage in order of life. Adults have two: before laying, and laying.
struct Stage {
  std::string key;  ///< `egg`, `larva-1`, `nymph-3`, `pupa`, `adult-new`, `adult-laying`
  StageGroup group = StageGroup::egg;
  LinearRate rate;
  Sourced<double> spread;  ///< coefficient of variation of time spent in the stage; k = 1/CV², rounded
  bool in_soil = false;    ///< feels soil, not air
  std::string place;       ///< catalogue key of where to look: `leaf-underside`, `soil`, `whole-plant`
};

/// When the season starts: how the overwintered generation comes to lay.
struct Biofix {
  enum class Kind { date, degree_days, warm_days, first_find } kind = Kind::first_find;
  std::string stage;                 ///< the stage entered at the biofix
  int month = 1, day = 1;            ///< `date`: the day itself; else where the sum or the search starts
  std::optional<Temperature> lower;  ///< `degree_days`: threshold · `warm_days`: mean temperature to reach
  std::optional<DegreeDays> sum;     ///< `degree_days`: the sum at 50 %
  double spread = 0.15;              ///< coefficient of variation of the sum between individuals
  int run_days = 0;                  ///< `warm_days`: length of the running mean
  Source source;
};

/// Day length that stops development for the year, by sensitive stage.
struct Diapause {
  std::string sensitive_stage;     ///< key or group name of the stage that feels the day
  std::string resting_stage;       ///< where those that felt a short day stop
  Sourced<double> critical_hours;  ///< half of those that pass the sensitive stage at this day length stop
  double slope_hours = 0.25;       ///< from 50 % to 84 %
};

/// How eggs are laid.
struct Laying {
  enum class Kind { single, mass, live } kind = Kind::single;
  std::optional<Sourced<double>> per_mass;
  std::optional<Sourced<double>> fecundity;  ///< eggs per female's life
};

struct Host {
  std::string crop;    ///< EPPO code
  int preference = 0;  ///< 3 preferred, 2 used, 1 when nothing better is there
  Source source;
};

/// A published action threshold.
struct Threshold {
  std::vector<std::string> crops;  ///< EPPO codes; empty = every host
  std::string stage;               ///< any word of `stages_for`: key, group name, `large-larva`, `feeding`, `any`
  enum class Measure { per_plant, share_of_plants } measure = Measure::per_plant;
  Sourced<double> value;
  std::string growth;  ///< growth stage words as published, catalogue key; may be empty
};

/// A way of acting that isn't a spray, or an active ingredient, with what it did where it was tried.
struct Efficacy {
  std::string means;                ///< `hand-pick`, `crush-eggs`, `cover`, `pull`, `water`, or an ISO common name `spinosad`
  bool is_active = false;           ///< an active ingredient
  std::vector<std::string> stages;  ///< words of `stages_for` that it works on
  double low = 0.0, high = 0.0;     ///< share removed, as published (low = high for one figure)
  Source source;
};

/// A published figure kept beside the one in use because sources disagree, or because it has no field of its own.
struct Figure {
  std::string what;  ///< `egg_to_adult_days`, `generations`, `t0_c` …
  double low = 0.0, high = 0.0;
  std::string unit;
  Source source;
};

struct Dossier {
  std::string id;    ///< file name without ending: `imported-cabbageworm`
  std::string eppo;  ///< EPPO code, or empty
  Source eppo_source;
  std::string scientific;  ///< with author
  std::string order, family;
  std::vector<Stage> stages;  ///< in order of life
  Biofix biofix;
  std::optional<Diapause> diapause;
  Laying laying;
  std::string overwinters;                          ///< stage key or group
  std::optional<Sourced<Temperature>> winter_kill;  ///< air colder than this killed very many
  std::vector<Host> hosts;
  std::vector<Threshold> thresholds;
  std::vector<Efficacy> efficacies;
  std::vector<Figure> figures;
  std::vector<std::string> gaps;  ///< what is not known, in plain words

  /// Index of a stage by key; nullopt if none.
  std::optional<std::size_t> stage_index(std::string_view key) const;
};

struct Crop {
  std::string eppo;
  Source eppo_source;
  std::string id;                  ///< file name: `kale`
  std::string family;              ///< EPPO family code: `1CRUF`
  std::vector<std::string> parts;  ///< what is harvested: `leaf`, `head`, `fruit`, `root`, `tuber`
  struct GroupMember {
    std::string group;
    Source source;
  };
  std::vector<GroupMember> label_groups;  ///< 40 CFR 180.41 groups the whole crop belongs to: `4-16B`
  struct PartGroup {
    std::string part, group;
    Source source;
  };
  /// Groups that hold one harvested part only (turnip: root in 1, leaf in 4-16B). Such a group on a label says nothing of the other parts,
  /// so it never permits the crop as a whole.
  std::vector<PartGroup> part_groups;
  std::optional<Sourced<double>> days_low, days_high;  ///< to maturity
  bool from_transplant = false;
};

/// All dossiers of a run.
struct Library {
  std::vector<Dossier> pests;  ///< sorted by id
  std::vector<Crop> crops;     ///< sorted by eppo
  /// By file name or EPPO code, any case; null if none.
  const Dossier* pest(std::string_view name) const;
  const Crop* crop(std::string_view eppo) const;
};

/// The stages a word from a count or a file means: a key (`larva-3`), a group (`larva`, `nymph`), a plural, `L3`, `instar-3`,
/// `small-larva` (all but the last two instars), `large-larva` (the last two), `feeding` (instars and adults), `any`, `egg-mass` (only for
/// those that lay in masses), `beetle`, `caterpillar`. Case, spaces and hyphens don't matter. Empty if the word means nothing here.
/// `masses` is set for words that count masses, not eggs.
struct StageWord {
  std::vector<std::size_t> stages;
  bool masses = false;
};
StageWord stages_for(const Dossier& dossier, std::string_view word);

/// Whether two spellings name one active ingredient: case, `subsp.`/`ssp.`/`var.` and a strain at the end don't count, and `Bt`, `B.t.` and
/// `B. thuringiensis` are Bacillus thuringiensis. Different subspecies stay different; the bare species matches none of them.
bool same_active(std::string_view a, std::string_view b);

/// The catalogue's word for what was counted, whatever way it was written: `egg-mass`, a stage key, a group, else `any`.
std::string label_for(const Dossier& dossier, const StageWord& word);

std::string_view word_for(StageGroup group);

}  // namespace leafturn::pest
