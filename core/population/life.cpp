#include "core/population/life.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

#include "core/base/elementary.hpp"
#include "core/phenology/rate.hpp"
#include "core/phenology/rest.hpp"

namespace leafturn::population {
namespace {

using pest::Dossier;
using pest::StageGroup;

// What nobody measured. Each of these, where it is used, is named in Life::assumed.
constexpr double usual_celsius = 22.0;
constexpr double warmest_celsius = 35.0;
constexpr double assumed_net_reproduction = 4.0;
constexpr double most_outdoors = 10.0;  // daughters a generation; assumed
constexpr double assumed_adult_loss = 0.02;
constexpr double assumed_young_loss = 0.05;
constexpr double assumed_young = 100.0;
constexpr double assumed_female_share = 0.5;
constexpr double flier_leaves_low = 0.02, flier_leaves_high = 0.3;
constexpr double wingless_leaves_low = 0.0, wingless_leaves_high = 0.05;
constexpr double assumed_distance_m = 10.0;
constexpr double highest_loss = 20.0;

struct Seen {
  double share, sd;
  friend bool operator==(const Seen&, const Seen&) = default;
};
constexpr Seen unseen{0.0, 0.0}, small{0.6, 0.2}, large{0.85, 0.1}, grown{0.5, 0.2};

constexpr std::array<std::string_view, 10> hidden_places{
    "soil",        "in-roots", "roots",         "in-seed",        "inside-stem",
    "leaf-tissue", "flying",   "flying-by-day", "flying-at-dusk", "grass-and-field-edges"};

bool hidden(const pest::Stage& stage) {
  return stage.in_soil || std::find(hidden_places.begin(), hidden_places.end(), stage.place) != hidden_places.end();
}

bool is_instar(StageGroup group) { return group == StageGroup::larva || group == StageGroup::nymph; }

// The last two instars, or those of a life that has no more.
bool is_large(const Dossier& dossier, std::size_t stage) {
  std::size_t later = 0;
  for (std::size_t s = stage + 1; s < dossier.stages.size(); ++s)
    if (is_instar(dossier.stages[s].group)) ++later;
  return is_instar(dossier.stages[stage].group) && later < 2;
}

// Wingless mostly, and small: mites, and aphids but for their winged form.
bool seldom_flies(const Dossier& dossier) { return dossier.order == "Trombidiformes" || dossier.laying.kind == pest::Laying::Kind::live; }

// A walk to the next bed is too far for a mite, a thrips or an aphid.
bool walker(const Dossier& dossier, std::size_t stage) {
  return !seldom_flies(dossier) && dossier.order != "Thysanoptera" && is_large(dossier, stage) && !hidden(dossier.stages[stage]);
}

Term term_of(const pest::Stage& stage) { return {"stage." + stage.key}; }

Seen usually_seen(const Dossier& dossier, std::size_t stage) {
  const pest::Stage& it = dossier.stages[stage];
  if (hidden(it)) return unseen;
  if (it.group == StageGroup::adult || it.group == StageGroup::pupa) return grown;
  return is_large(dossier, stage) ? large : small;
}

// (1 + μD/k)^−k: the share of an Erlang(k) stage of D days that lives through it at hazard μ.
double lives_through(double loss, double days, std::size_t k) {
  const auto n = static_cast<double>(k);
  return num::exp(-n * num::log1p(loss * days / n));
}

// The hazard that leaves `survival`: lives_through solved for μ.
double loss_leaving(double survival, double days, std::size_t k) {
  const auto n = static_cast<double>(k);
  return n * num::expm1(-num::log(survival) / n) / days;
}

// Share of its young that one entering the laying stage lays before it dies: (1/D)·∫ alive in the stage, from k passes of its chain each
// survived with chance p = 1/(1 + μD/k).
double lays_before_dying(double loss, double days, std::size_t k) {
  const double y = loss * days;
  if (y > -1e-12 && y < 1e-12) return 1.0;
  const auto n = static_cast<double>(k);
  return -num::expm1(-n * num::log1p(y / n)) / y;
}

std::vector<double> days_of(const Dossier& dossier, Temperature t) {
  std::vector<double> out;
  for (const pest::Stage& stage : dossier.stages) {
    const auto days = phenology::days_at(stage.rate, t);
    if (!days) return {};
    out.push_back(*days);
  }
  return out;
}

// Offspring per head when everybody dies `more` a day faster: at more = r, discounted offspring of a population growing at r.
double offspring(const Life& life, const std::vector<double>& days, double more) {
  double out = life.young_per_adult;
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    const double loss = life.stages[s].loss_per_day + more;
    out *= s == life.laying ? lays_before_dying(loss, days[s], life.stages[s].count) : lives_through(loss, days[s], life.stages[s].count);
  }
  return out;
}

void set_stages(Life& life) {
  const Dossier& dossier = *life.dossier;
  std::vector<Term> capped;
  for (const pest::Stage& stage : dossier.stages) {
    const int published = phenology::substages(stage.spread.value);
    // A spread of 0.20 gives 25: not worth a word.
    if (published > most_substages + 1) capped.push_back(term_of(stage));
    LifeStage one;
    one.first = life.substages;
    one.count = static_cast<std::size_t>(std::min(published, most_substages));
    one.group = stage.group;
    one.walks = walker(dossier, life.stages.size());
    life.substages += one.count;
    life.stages.push_back(one);
  }
  life.laying = life.stages.empty() ? 0 : life.stages.size() - 1;
  life.arriving = life.laying;
  if (!capped.empty())
    life.assumed.push_back({"life.spread_widened", {{"stages", Terms{capped}}, {"spread", Share{1.0 / num::sqrt(most_substages)}}}});
}

void set_laying(Life& life) {
  const pest::Laying& laying = life.dossier->laying;
  double young = assumed_young;
  if (laying.fecundity)
    young = laying.fecundity->value;
  else
    life.assumed.push_back({"life.assumed_young", {{"young", Number{young, 0}}}});
  double females = 1.0;
  if (laying.female_share) {
    females = laying.female_share->value;
  } else if (!laying.females_only) {
    females = assumed_female_share;
    life.assumed.push_back({"life.assumed_female_share", {{"share", Share{females}}}});
  }
  life.young_per_adult = young * females;
  if (laying.kind == pest::Laying::Kind::mass && laying.per_mass) life.young_at_once = laying.per_mass->value;
}

void set_rest(Life& life) {
  if (const auto rule = phenology::rest_rule(*life.dossier)) {
    life.rest_decided = rule->decided;
    life.rests = rule->rests;
  }
}

void set_seen(Life& life) {
  const Dossier& dossier = *life.dossier;
  const auto assume = [&](const Seen& seen) {
    std::vector<Term> stages;
    for (std::size_t s = 0; s < life.stages.size(); ++s)
      if (!dossier.stages[s].detection && usually_seen(dossier, s) == seen) stages.push_back(term_of(dossier.stages[s]));
    if (stages.empty()) return;
    if (seen == unseen)
      life.assumed.push_back({"life.out_of_sight", {{"stages", Terms{stages}}}});
    else
      life.assumed.push_back(
          {"life.assumed_detection", {{"stages", Terms{stages}}, {"share", Share{seen.share}}, {"spread", Share{seen.sd}}}});
  };
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    const Seen usual = usually_seen(dossier, s);
    const auto& published = dossier.stages[s].detection;
    life.stages[s].detection = share_seen(dossier, s);
    life.stages[s].detection_sd = published && usual == unseen ? small.sd : usual.sd;
  }
  for (const Seen& seen : {small, large, grown, unseen}) assume(seen);
}

void set_eaten(Life& life) {
  const Dossier& dossier = *life.dossier;
  bool named = false;
  for (const pest::Enemy& enemy : dossier.enemies)
    for (const std::size_t s : pest::stages_for(dossier, enemy.stage).stages) {
      life.stages[s].eaten = true;
      named = true;
    }
  if (named) return;
  std::vector<Term> stages;
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    if (life.stages[s].group != StageGroup::egg && !is_instar(life.stages[s].group)) continue;
    life.stages[s].eaten = true;
    stages.push_back(term_of(dossier.stages[s]));
  }
  if (!stages.empty()) life.assumed.push_back({"life.assumed_eaten", {{"stages", Terms{stages}}}});
}

void set_movement(Life& life) {
  const pest::Movement& movement = life.dossier->movement;
  if (movement.leave_per_day) {
    life.leave_low = movement.leave_per_day->low;
    life.leave_high = movement.leave_per_day->high;
  } else {
    const bool seldom = seldom_flies(*life.dossier);
    life.leave_low = seldom ? wingless_leaves_low : flier_leaves_low;
    life.leave_high = seldom ? wingless_leaves_high : flier_leaves_high;
    life.assumed.push_back({"life.assumed_leaving", {{"low", Share{life.leave_low}}, {"high", Share{life.leave_high}}}});
  }
  life.distance_m = movement.distance_m ? movement.distance_m->value : assumed_distance_m;
  if (!movement.distance_m) life.assumed.push_back({"life.assumed_distance", {{"distance", Length::metres(life.distance_m)}}});
}

struct Reference {
  Temperature temperature;
  std::vector<double> days;  ///< of each stage; empty where there is no temperature at which all develop
};

Reference reference_of(const Dossier& dossier) {
  const auto usual = Temperature::celsius(usual_celsius);
  if (auto days = days_of(dossier, usual); !days.empty()) return {usual, std::move(days)};
  for (double c = warmest_celsius; c > 0.0; c -= 1.0)
    if (auto days = days_of(dossier, Temperature::celsius(c)); !days.empty()) return {Temperature::celsius(c), std::move(days)};
  return {usual, {}};
}

// The hazard of the stages nobody measured that makes offspring() `target`: it falls as the hazard rises, so halving finds it.
double common_loss(Life& life, const std::vector<std::size_t>& unknown, const std::vector<double>& days, double target) {
  const auto with = [&](double loss) {
    for (const std::size_t s : unknown) life.stages[s].loss_per_day = loss;
    return offspring(life, days, 0.0);
  };
  double low = 0.0, high = highest_loss;
  if (with(low) > target)
    for (int i = 0; i < 100; ++i) {
      const double middle = 0.5 * (low + high);
      (with(middle) > target ? low : high) = middle;
    }
  with(low);
  return low;
}

// What was reared under glass died less than it would have outdoors: everyone dies a little more, until no more are left a generation than
// anything manages outdoors for long.
void set_outdoor_loss(Life& life, const std::vector<double>& days) {
  if (!(life.net_reproduction > most_outdoors)) return;
  double low = 0.0, high = 2.0;
  while (high - low > 1e-9) {
    const double middle = 0.5 * (low + high);
    (offspring(life, days, middle) > most_outdoors ? low : high) = middle;
  }
  life.outdoor_loss_per_day = 0.5 * (low + high);
  life.assumed.push_back({"life.assumed_outdoor_loss", {{"share", Share{life.outdoor_loss_per_day}}, {"times", Number{most_outdoors, 0}}}});
}

void set_losses(Life& life) {
  const Dossier& dossier = *life.dossier;
  const Reference at = reference_of(dossier);
  if (!at.days.empty() && at.temperature != Temperature::celsius(usual_celsius))
    life.assumed.push_back({"life.other_temperature", {{"temperature", at.temperature}}});
  std::vector<std::size_t> unknown;
  bool adults_assumed = false;
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    LifeStage& stage = life.stages[s];
    const auto& survival = dossier.stages[s].survival;
    if (survival && !at.days.empty() && s != life.laying) {
      stage.loss_per_day = loss_leaving(survival->value, at.days[s], stage.count);
    } else if (stage.group == StageGroup::adult) {
      stage.loss_per_day = assumed_adult_loss;
      adults_assumed = true;
    } else {
      unknown.push_back(s);
    }
  }
  if (adults_assumed) life.assumed.push_back({"life.assumed_adult_loss", {{"share", Share{assumed_adult_loss}}}});
  if (at.days.empty()) {
    for (const std::size_t s : unknown) life.stages[s].loss_per_day = assumed_young_loss;
    life.assumed.push_back({"life.no_development", {{"share", Share{assumed_young_loss}}}});
    return;
  }
  if (!unknown.empty()) {
    const auto& measured = dossier.laying.net_reproduction;
    const double loss = common_loss(life, unknown, at.days, measured ? measured->value : assumed_net_reproduction);
    std::vector<Term> stages;
    for (const std::size_t s : unknown) stages.push_back(term_of(dossier.stages[s]));
    life.assumed.push_back({measured ? "life.loss_by_measured_growth" : "life.assumed_growth",
                            {{"times", Number{offspring(life, at.days, 0.0), 1}}, {"share", Share{loss}}, {"stages", Terms{stages}}}});
  }
  life.net_reproduction = offspring(life, at.days, 0.0);
  set_outdoor_loss(life, at.days);
}

}  // namespace

double share_seen(const pest::Dossier& dossier, std::size_t stage) {
  const auto& published = dossier.stages[stage].detection;
  return published ? published->value : usually_seen(dossier, stage).share;
}

Life life_of(const pest::Dossier& dossier) {
  Life life;
  life.dossier = &dossier;
  set_stages(life);
  if (life.stages.empty()) return life;
  set_laying(life);
  set_losses(life);
  set_rest(life);
  set_seen(life);
  set_eaten(life);
  set_movement(life);
  return life;
}

std::optional<double> net_reproduction(const Life& life, Temperature t) {
  const std::vector<double> days = days_of(*life.dossier, t);
  if (days.empty()) return std::nullopt;
  return offspring(life, days, 0.0);
}

std::optional<double> growth_per_day(const Life& life, Temperature t) {
  const std::vector<double> days = days_of(*life.dossier, t);
  if (days.empty()) return std::nullopt;
  // Below −(μ + k/D) of any stage its integral has no end: growth can't be slower than that.
  double low = -2.0, high = 2.0;
  for (std::size_t s = 0; s < life.stages.size(); ++s)
    low = std::max(low, -life.stages[s].loss_per_day - 0.999 * static_cast<double>(life.stages[s].count) / days[s]);
  while (high - low > 1e-10) {
    const double middle = 0.5 * (low + high);
    (offspring(life, days, middle) > 1.0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace leafturn::population
