#include "core/pest/sources.hpp"

namespace leafturn::pest {
namespace {

class Collector {
 public:
  void add(std::string what, const Source& source) { found.push_back({std::move(what), &source}); }
  template <class T>
  void add(std::string what, const std::optional<Sourced<T>>& figure) {
    if (figure) add(std::move(what), figure->source);
  }
  void add(const Stage& stage) {
    const std::string what = "stage." + stage.key;
    if (const auto* linear = stage.rate.linear()) {
      add(what, linear->lower.source);
      add(what, linear->constant.source);
      add(what, linear->upper);
      add(what, linear->lethal);
    } else {
      add(what, source_of(stage.rate.model));
    }
    add(what, stage.spread.source);
    add(what, stage.share);
    add(what, stage.survival);
    add(what, stage.detection);
  }
  void add(const Damage& damage) {
    add("damage", damage.source);
    if (damage.loss) add("damage.loss", damage.loss->source);
    for (const auto& one : damage.tolerated) add("damage.tolerated", one.source);
    for (const auto& one : damage.rejects) add("damage.reject." + one.outlet, one.source);
  }
  void add(const std::vector<Sign>& signs) {
    for (const auto& one : signs) add("sign." + one.character, one.source);
  }
  void add(const std::vector<Figure>& figures) {
    for (const auto& one : figures) add("figure." + one.what, one.source);
  }
  std::vector<Cited> found;
};

}  // namespace

std::vector<Cited> figures_of(const Dossier& d) {
  Collector all;
  if (!d.eppo.empty()) all.add("eppo", d.eppo_source);
  for (const auto& stage : d.stages) all.add(stage);
  for (const auto& set : d.sets) all.add("set." + set.id, source_of(set.model));
  all.add("biofix", d.biofix.source);
  if (d.diapause) all.add("diapause", d.diapause->critical_hours.source);
  all.add("winter_kill", d.winter_kill);
  all.add("migrant", d.migrant_north_of);
  all.add("per_mass", d.laying.per_mass);
  all.add("interval_days", d.laying.interval_days);
  all.add("fecundity", d.laying.fecundity);
  all.add("female_share", d.laying.female_share);
  all.add("net_reproduction", d.laying.net_reproduction);
  if (d.movement.leave_per_day) all.add("leave_per_day", d.movement.leave_per_day->source);
  all.add("distance_m", d.movement.distance_m);
  for (const auto& one : d.hosts) all.add("host." + one.crop, one.source);
  for (const auto& one : d.thresholds) all.add("threshold." + one.stage, one.value.source);
  for (const auto& one : d.dispersions) all.add("dispersion." + one.stage, one.source);
  for (const auto& one : d.sampling) all.add("sampling." + one.stage, one.source);
  for (const auto& one : d.damages) all.add(one);
  for (const auto& one : d.efficacies) all.add("efficacy." + one.means, one.source);
  for (const auto& one : d.ratings) all.add("rating." + one.means, one.source);
  all.add(d.signs);
  for (const auto& one : d.look_alikes) all.add("look_alike." + one.id, one.source);
  for (const auto& one : d.enemies) all.add("enemy." + one.scientific, one.source);
  all.add(d.figures);
  return all.found;
}

std::vector<Cited> figures_of(const Friend& one) {
  Collector all;
  for (const auto& prey : one.prey) all.add("prey." + prey.pest, prey.source);
  for (const auto& stage : one.stages) all.add(stage);
  all.add(one.signs);
  all.add(one.figures);
  return all.found;
}

std::vector<Cited> figures_of(const Active& a) {
  Collector all;
  if (a.half_life_days) all.add("half_life_days", a.half_life_days->source);
  all.add("wash_off", a.wash_off);
  if (a.window_days) all.add("window_days", a.window_days->source);
  all.add("contact_only", a.contact_only);
  if (a.predatory_mites) all.add("predatory_mites", a.predatory_mites->source);
  if (a.predators) all.add("predators", a.predators->source);
  if (a.parasites) all.add("parasites", a.parasites->source);
  if (a.harm_lasts) all.add("harm_lasts", a.harm_lasts->source);
  all.add("bees", a.bees);
  all.add("mode_of_action", a.mode_of_action.source);
  all.add(a.figures);
  return all.found;
}

std::vector<Cited> figures_of(const Crop& crop) {
  Collector all;
  all.add("eppo", crop.eppo_source);
  for (const auto& one : crop.label_groups) all.add("label_group." + one.group, one.source);
  for (const auto& one : crop.part_groups) all.add("label_group." + one.group, one.source);
  all.add("days", crop.days_low);
  return all.found;
}

}  // namespace leafturn::pest
