#pragma once
/// What is known of a pest and of a crop, as plain values. Files: dossiers/pests/*.toml, dossiers/crops/*.toml; read by io/dossier_toml.

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/quantity.hpp"
#include "core/pest/active.hpp"
#include "core/pest/known.hpp"
#include "core/pest/rate_model.hpp"

namespace leafturn::pest {

/// What people count together. `stage` words in files and counts are the stage keys below or these.
enum class StageGroup { egg, nymph, larva, pupa, adult };

/// One stage in order of life. Adults have two: before laying, and laying.
struct Stage {
  std::string key;  ///< `egg`, `larva-1`, `nymph-3`, `pupa`, `adult-new`, `adult-laying`
  StageGroup group = StageGroup::egg;
  StageRate rate;
  Sourced<double> spread;                    ///< coefficient of variation of time spent in the stage; k = 1/CV², rounded
  std::optional<Sourced<double>> share;      ///< of egg-to-adult (or birth-to-adult) development, for rates given for the whole
  std::optional<Sourced<double>> survival;   ///< share of those entering that live to leave it, where nothing hunts them
  std::optional<Sourced<double>> detection;  ///< share of those on a plant looked at that a scout sees
  bool in_soil = false;                      ///< feels soil, not air
  std::string place;                         ///< catalogue key of where to look: `leaf-underside`, `soil`, `whole-plant`
};

/// When the season starts: how the overwintered generation comes to lay.
struct Biofix {
  enum class Kind { date, degree_days, warm_days, day_length, first_find } kind = Kind::first_find;
  std::string stage;                 ///< the stage entered at the biofix
  int month = 1, day = 1;            ///< `date`: the day itself; else where the sum or the search starts
  bool in_soil = false;              ///< the heat or the warmth is that of the soil, not of the air
  std::optional<Temperature> lower;  ///< `degree_days`: threshold · `warm_days`: mean temperature to reach
  std::optional<Temperature> upper;  ///< `degree_days`: heat above it counts no more (horizontal cutoff)
  std::optional<DegreeDays> sum;     ///< `degree_days`: the sum at 50 %
  double spread = 0.15;              ///< coefficient of variation of the sum between individuals
  int run_days = 0;                  ///< `warm_days`: length of the running mean
  double day_length_hours = 0.0;     ///< `day_length`: first day from `month`/`day` on that is at least this long
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
  std::optional<Sourced<double>> fecundity;      ///< eggs, or young, per female's life
  std::optional<Sourced<double>> interval_days;  ///< between masses
  std::optional<Sourced<double>> female_share;   ///< of the adults
  /// Offspring reaching the adult stage of one that did, measured outdoors: daughters per female where that is how it was published.
  std::optional<Sourced<double>> net_reproduction;
  bool females_only = false;  ///< reproduces without males all summer
};

/// How adults go from plant to plant, where that was measured.
struct Movement {
  struct Share {
    double low = 0.0, high = 0.0;  ///< as published (low = high for one figure)
    Source source;
  };
  std::optional<Share> leave_per_day;         ///< share of the adults on a good patch that leave it in a day
  std::optional<Sourced<double>> distance_m;  ///< mean distance of what moved
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

/// How counts of this pest vary from plant to plant: Taylor's law s² = a·m^b, Iwao's m* = alpha + beta·m, or a negative binomial's k.
struct Dispersion {
  enum class Kind { taylor, iwao, k } kind = Kind::taylor;
  double a = 0.0, b = 0.0;  ///< a, b · alpha, beta · k, unused
  std::string stage;        ///< word of `stages_for`
  std::string unit;         ///< what was counted on: `plant`, `leaf`, `unit-area` …
  Source source;
};

/// A published way of counting.
struct SamplingPlan {
  enum class Kind { sequential_binomial, sequential_count, fixed } kind = Kind::fixed;
  std::string stage, unit;
  double low = 0.0, high = 0.0;    ///< the two levels told apart: share of units infested, or mean per unit
  double alpha = 0.0, beta = 0.0;  ///< error rates; 0 where not published
  int plants = 0;                  ///< `fixed`: units to look at, or the most a sequential plan takes; 0 where not published
  Source source;
};

/// What the pest does to what is sold, and what that costs where somebody measured it.
struct Damage {
  /// `harvested`: marks the part that is sold · `foliage`: eats or sucks leaves that aren't · `root`: below ground · `stand`: kills
  /// seedlings or plants · `vector`: carries disease · `contaminant`: harmless but found in the produce.
  enum class Kind { harvested, foliage, root, stand, vector, contaminant } kind = Kind::foliage;
  std::vector<std::string> crops;  ///< EPPO codes; empty = every host
  Source source;

  /// Share of what a plant is worth that one individual on it costs, in a day or in its life.
  struct Loss {
    enum class Per { individual_day, individual } per = Per::individual_day;
    std::string stage;  ///< word of `stages_for`
    double low = 0.0, high = 0.0;
    Source source;
  };
  std::optional<Loss> loss;
  /// No loss was found up to here: a share of the leaf gone, or a mean of individuals a plant over the season.
  struct Tolerated {
    enum class Measure { share_of_leaf, season_mean_per_plant } measure = Measure::share_of_leaf;
    double low = 0.0, high = 0.0;
    std::string growth;  ///< growth stage words as published, catalogue key; may be empty
    Source source;
  };
  std::vector<Tolerated> tolerated;
  /// Share of the marked pieces that an outlet refuses: `sale`, `box`, `donation`, `kitchen`.
  struct Reject {
    std::string outlet;
    double low = 0.0, high = 0.0;
    Source source;
  };
  std::vector<Reject> rejects;
};

/// What can be seen, for telling pests apart: `damage` = `shot-holes`, `eggs` = `barrels-in-rows`.
struct Sign {
  std::string character, state;  ///< catalogue keys `sign.CHARACTER.STATE`
  Source source;
};

/// Something harmless or different that is taken for this pest. Its name and how to tell it apart are in the catalogue:
/// `look_alike.ID.name`, `.tell`.
struct LookAlike {
  std::string id, scientific;
  Source source;
};

/// A predator, parasitoid or disease of the pest, with what share it took where that was measured.
struct Enemy {
  std::string friend_id;  ///< id of its own dossier, or empty
  std::string scientific;
  std::string stage;                ///< word of `stages_for`: what it takes
  std::optional<double> low, high;  ///< share taken, as published
  Source source;
};

/// Rates of one source for a run of stages, kept beside the stages' own so that populations can be compared.
struct ParameterSet {
  std::string id;           ///< `ontario-1979`
  std::string population;   ///< where and on what: `southwestern Ontario, on rutabaga`
  std::string first, last;  ///< stage keys, inclusive: what `model` covers as a whole
  RateModel model;
  std::string why;  ///< why it is or isn't the one in use
};

struct Dossier {
  std::string id;    ///< file name without ending: `imported-cabbageworm`
  std::string eppo;  ///< EPPO code, or empty
  Source eppo_source;
  std::string scientific;  ///< with author
  std::string order, family;
  std::vector<Stage> stages;  ///< in order of life
  std::vector<ParameterSet> sets;
  std::string set_used;  ///< id of the set the stages' rates come from; empty where they are the stages' own
  Biofix biofix;
  std::optional<Diapause> diapause;
  Laying laying;
  Movement movement;
  std::string overwinters;                          ///< stage key or group
  std::optional<Sourced<Temperature>> winter_kill;  ///< air colder than this killed very many
  /// North of this latitude it doesn't last the winter outdoors but comes each year from elsewhere, so no calendar can start it: 0 =
  /// everywhere.
  std::optional<Sourced<Angle>> migrant_north_of;
  std::vector<Host> hosts;
  std::vector<Threshold> thresholds;
  std::vector<Efficacy> efficacies;
  /// What an active may do, rated from memory where no trial was read: offered after everything that was tried, and said to be that.
  std::vector<Efficacy> ratings;
  std::vector<Dispersion> dispersions;
  std::vector<SamplingPlan> sampling;
  std::vector<Damage> damages;
  std::vector<Sign> signs;
  std::vector<LookAlike> look_alikes;
  std::vector<Enemy> enemies;
  std::vector<Figure> figures;
  std::vector<std::string> gaps;  ///< what is not known, in plain words

  /// Index of a stage by key; nullopt if none.
  std::optional<std::size_t> stage_index(std::string_view key) const;
};

/// A predator, parasitoid or pollinator worth sparing.
struct Friend {
  std::string id, scientific, order, family;
  std::vector<std::string> roles;  ///< `predator`, `parasitoid`, `pollinator`
  struct Prey {
    std::string pest;                 ///< dossier id
    std::vector<std::string> stages;  ///< words of that pest's `stages_for`
    Source source;
  };
  std::vector<Prey> prey;
  std::vector<Stage> stages;  ///< in order of life, where its development was published; may be empty
  std::vector<Sign> signs;
  std::vector<Figure> figures;
  std::vector<std::string> gaps;
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
  std::vector<Dossier> pests;   ///< sorted by id
  std::vector<Friend> friends;  ///< sorted by id
  std::vector<Crop> crops;      ///< sorted by eppo
  std::vector<Active> actives;  ///< sorted by id
  /// By file name or EPPO code, any case; null if none.
  const Dossier* pest(std::string_view name) const;
  const Crop* crop(std::string_view eppo) const;
  const Friend* friend_named(std::string_view id) const;
  const Active* active_named(std::string_view name) const;  ///< by any spelling `same_active` takes for it, or by id; null if none
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
/// What is known of what something does to a pest: trials and common practice; for an active of which no trial was read, ratings from
/// memory (their `source.known` says so).
std::vector<const Efficacy*> effects_of(const Dossier& dossier, std::string_view means, bool is_active);

/// The catalogue's word for what was counted, whatever way it was written: `egg-mass`, a stage key, a group, else `any`.
std::string label_for(const Dossier& dossier, const StageWord& word);

std::string_view word_for(StageGroup group);

}  // namespace leafturn::pest
