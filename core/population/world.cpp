#include "core/population/world.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "core/phenology/rest.hpp"

namespace leafturn::population {
namespace {

using garden::Garden;
using garden::Planting;

constexpr int before_first_count = 45;  // days, where nobody said when a host was set out
constexpr double plants_a_square_metre = 4.0;
constexpr std::int32_t step_seconds = 86400 / steps_a_day;
constexpr float unknown_spray_most = 0.6F;  // of what a spray without any trial may have taken: it may have been for something else

float liking_of(const pest::Dossier& dossier, std::string_view crop) {
  for (const pest::Host& host : dossier.hosts)
    if (host.crop == crop) return static_cast<float>(host.preference) / 3.0F;
  return 0.0F;
}

double area_of(const garden::BedLaid& bed) { return bed.width.metres() * bed.length.metres(); }

struct Reading {
  const WorldRequest& request;
  Zone standard;
  WorldFound found;

  const pest::Dossier& dossier() const { return *request.life->dossier; }
  CivilTime standard_time(Instant at) const { return standard.civil(at); }
};

double plants_of(const Reading& r, const Planting& planting) {
  if (planting.sown.plants) return *planting.sown.plants;
  const garden::BedLaid* bed = r.request.garden->bed(planting.sown.bed);
  return bed != nullptr ? std::max(1.0, std::floor(area_of(*bed) * plants_a_square_metre)) : 1.0;
}

bool is_this(const Reading& r, const std::string& pest) {
  return pest == r.dossier().id || (!r.dossier().eppo.empty() && pest == r.dossier().eppo);
}

// Set out, or told of, that day; nothing when it can't be said.
Date begun(const Reading& r, const Planting& planting) {
  return planting.sown.set_out ? *planting.sown.set_out : r.standard_time(planting.at).date;
}

Date first_day(const Reading& r) {
  const Garden& garden = *r.request.garden;
  const Date oldest = r.request.today - Days{longest_season};
  std::optional<Date> first;
  for (const Planting& planting : garden.plantings) {
    if (liking_of(r.dossier(), planting.sown.crop) <= 0.0F) continue;
    if (planting.removed && r.standard_time(*planting.removed).date < oldest) continue;
    const Date day = std::max(begun(r, planting), oldest);
    if (day <= r.request.today && (!first || day < *first)) first = day;
  }
  for (const auto& count : garden.counts) {
    if (!is_this(r, count.what.pest)) continue;
    const Date day = std::max(r.standard_time(count.at).date - Days{1}, oldest);
    if (!first || day < *first) first = std::max(day - Days{before_first_count}, oldest);
  }
  return first.value_or(r.request.today);
}

void lay_beds(Reading& r) {
  World& world = r.found.world;
  for (const garden::BedLaid& bed : r.request.garden->beds)
    world.beds.push_back({bed.bed, bed.x.metres() + 0.5 * bed.width.metres(), bed.y.metres() + 0.5 * bed.length.metres(), area_of(bed)});
  world.bed_days.assign(static_cast<std::size_t>(world.days) * world.beds.size(), BedDay{});
}

// The first day on which it no longer stood: pulled in the morning, the bed is bare that day already.
std::int32_t bare_from(const Reading& r, Instant removed) {
  const CivilTime when = r.standard_time(removed);
  return (when.date - r.found.world.first).count + (when.second_of_day >= 43'200 ? 1 : 0);
}

void plant(Reading& r) {
  World& world = r.found.world;
  for (const Planting& planting : r.request.garden->plantings) {
    const float liking = liking_of(r.dossier(), planting.sown.crop);
    const auto bed = world.bed(planting.sown.bed);
    if (liking <= 0.0F || !bed) continue;
    const std::int32_t from = std::max(0, (begun(r, planting) - world.first).count);
    const std::int32_t to = planting.removed ? bare_from(r, *planting.removed) : world.days;
    const auto plants = static_cast<float>(plants_of(r, planting));
    for (std::int32_t day = from; day < std::min(to, world.days); ++day) {
      BedDay& there = world.bed_days[static_cast<std::size_t>(day) * world.beds.size() + *bed];
      const float all = there.plants + plants;
      there.liking = (there.liking * there.plants + liking * plants) / all;
      there.plants = all;
    }
  }
}

std::vector<std::size_t> stages_of(const pest::Dossier& dossier, const pest::Efficacy& efficacy) {
  std::set<std::size_t> stages;
  for (const std::string& word : efficacy.stages)
    for (const std::size_t s : pest::stages_for(dossier, word).stages) stages.insert(s);
  return {stages.begin(), stages.end()};
}

// The best of several means on each stage: a product with two actives, or two studies of one.
bool add_shares(const pest::Dossier& dossier, const std::string& means, bool is_active, Deed& deed) {
  const auto known = pest::effects_of(dossier, means, is_active);
  for (const pest::Efficacy* e : known)
    for (const std::size_t s : stages_of(dossier, *e)) {
      deed.low[s] = std::max(deed.low[s], static_cast<float>(e->low));
      deed.high[s] = std::max(deed.high[s], static_cast<float>(e->high));
    }
  return !known.empty();
}

// How long it lasts and whom else it harms. Where only days of useful kill are known, a tenth of the residue is left at their end.
void add_residue(const pest::Library& library, const std::string& name, Deed& deed) {
  const pest::Active* active = library.active_named(name);
  if (active == nullptr) return;
  constexpr double half_lives_to_a_tenth = 3.3219;
  double half_life = 0.0;
  if (active->half_life_days) {
    half_life = std::sqrt(active->half_life_days->low * active->half_life_days->high);
  } else if (active->window_days) {
    half_life = 0.5 * (active->window_days->low + active->window_days->high) / half_lives_to_a_tenth;
  }
  if (active->contact_only && active->contact_only->value) half_life = 0.0;
  if (half_life > deed.half_life_days) {
    deed.half_life_days = half_life;
    deed.wash_off = active->wash_off ? active->wash_off->value : 0.0;
  }
  if (const auto toll = pest::enemy_toll(*active)) deed.enemies_killed = std::max(deed.enemies_killed, toll->killed);
}

Deed empty_deed(const Life& life, Deed::Kind kind) {
  Deed deed;
  deed.kind = kind;
  deed.low.assign(life.stages.size(), 0.0F);
  deed.high.assign(life.stages.size(), 0.0F);
  return deed;
}

// A cover lets through what the trials say; without one, a fifth at most.
void close_in(const pest::Dossier& dossier, Deed& deed) {
  if (add_shares(dossier, "cover", false, deed)) return;
  deed.known = false;
  for (std::size_t s = 0; s < deed.low.size(); ++s) {
    deed.low[s] = 0.8F;
    deed.high[s] = 1.0F;
  }
}

// No trial says what it did: anything between nothing and a good deal, to those that can be reached.
void leave_open(const Life& life, Deed& deed) {
  deed.known = false;
  for (std::size_t s = 0; s < life.stages.size(); ++s)
    if (!life.dossier->stages[s].in_soil) deed.high[s] = unknown_spray_most;
}

void add_work(Reading& r) {
  for (const auto& work : r.request.garden->work) {
    const auto bed = r.found.world.bed(work.what.bed);
    const StepNumber at = r.found.world.step_at(r.standard_time(work.at));
    using Kind = garden::WorkDone::Kind;
    const auto kind = work.what.kind;
    // A cover from before the first day is still there.
    const bool lasts = kind == Kind::cover || kind == Kind::uncover || kind == Kind::pull;
    if (!bed || (at < 0 && !lasts)) continue;
    Deed deed = empty_deed(*r.request.life, kind == Kind::cover     ? Deed::Kind::cover
                                            : kind == Kind::uncover ? Deed::Kind::uncover
                                            : kind == Kind::pull    ? Deed::Kind::pull
                                                                    : Deed::Kind::kill);
    const char* means = kind == Kind::hand_pick    ? "hand-pick"
                        : kind == Kind::crush_eggs ? "crush-eggs"
                        : kind == Kind::water      ? "water"
                        : kind == Kind::pull       ? "pull"
                        : kind == Kind::clean_up   ? "clean-up"
                                                   : "release-friends";
    if (deed.kind == Deed::Kind::kill || deed.kind == Deed::Kind::pull) deed.known = add_shares(r.dossier(), means, false, deed);
    if (deed.kind == Deed::Kind::cover) close_in(r.dossier(), deed);
    if (deed.kind == Deed::Kind::kill && !deed.known) {
      r.found.left_out.push_back({"population.work_without_effect", {{"bed", work.what.bed}, {"on", r.standard_time(work.at).date}}});
      continue;
    }
    deed.bed = *bed;
    deed.at = at;
    r.found.world.deeds.push_back(std::move(deed));
  }
}

void add_removals(Reading& r) {
  World& world = r.found.world;
  for (const Planting& planting : r.request.garden->plantings) {
    const auto bed = world.bed(planting.sown.bed);
    if (!planting.removed || !bed || liking_of(r.dossier(), planting.sown.crop) <= 0.0F) continue;
    const StepNumber at = world.step_at(r.standard_time(*planting.removed));
    const bool told = std::any_of(world.deeds.begin(), world.deeds.end(), [&](const Deed& d) {
      return d.kind == Deed::Kind::pull && d.bed == *bed && std::abs(d.at - at) <= steps_a_day;
    });
    const std::int32_t day = at / steps_a_day;
    const bool others_stand = day >= 0 && day < world.days && world.on(day, *bed).plants > 0.0F;
    if (told || at < 0 || others_stand) continue;
    Deed deed = empty_deed(*r.request.life, Deed::Kind::pull);
    deed.known = add_shares(r.dossier(), "pull", false, deed);
    deed.bed = *bed;
    deed.at = at;
    world.deeds.push_back(std::move(deed));
  }
}

void add_sprays(Reading& r) {
  for (const auto& spray : r.request.garden->applications) {
    if (spray.what.state != garden::Application::State::made) continue;
    const auto bed = r.found.world.bed(spray.what.bed);
    const StepNumber at = r.found.world.step_at(r.standard_time(spray.at));
    if (!bed || at < 0) continue;
    Deed deed = empty_deed(*r.request.life, Deed::Kind::kill);
    deed.bed = *bed;
    deed.at = at;
    deed.known = false;
    if (const auto actives = r.request.actives.find(spray.id); actives != r.request.actives.end())
      for (const std::string& active : actives->second) {
        deed.known = add_shares(r.dossier(), active, true, deed) || deed.known;
        add_residue(*r.request.library, active, deed);
      }
    if (!deed.known) {
      // Against something else, and no trial says that it did anything to this pest.
      if (!spray.what.pest.empty() && !is_this(r, spray.what.pest)) continue;
      leave_open(*r.request.life, deed);
      r.found.left_out.push_back({"population.spray_without_trial",
                                  {{"product", spray.what.product}, {"bed", spray.what.bed}, {"on", r.standard_time(spray.at).date}}});
    }
    r.found.world.deeds.push_back(std::move(deed));
  }
}

// The step a count is folded at: what was done in its bed before it, in the same step, comes first.
StepNumber counted_at(const Reading& r, const garden::Dated<garden::CountTaken>& count) {
  const World& world = r.found.world;
  const StepNumber at = world.step_at(r.standard_time(count.at));
  const auto before = [&](const auto& deed) {
    return deed.what.bed == count.what.bed && deed.at < count.at && world.step_at(r.standard_time(deed.at)) == at;
  };
  const Garden& garden = *r.request.garden;
  const bool after = std::any_of(garden.work.begin(), garden.work.end(), before) ||
                     std::any_of(garden.applications.begin(), garden.applications.end(), before);
  return at + (after ? 1 : 0);
}

void add_sightings(Reading& r) {
  World& world = r.found.world;
  for (const auto& count : r.request.garden->counts) {
    if (!is_this(r, count.what.pest)) continue;
    const CivilTime when = r.standard_time(count.at);
    const auto leave_out = [&](const char* code) {
      r.found.left_out.push_back({code, {{"bed", count.what.bed}, {"on", when.date}, {"stage", Term{"stage." + count.what.stage}}}});
    };
    const auto bed = world.bed(count.what.bed);
    const pest::StageWord word = pest::stages_for(r.dossier(), count.what.stage);
    if (!bed || word.stages.empty()) {
      leave_out("population.count_of_nothing");
      continue;
    }
    const auto& stages = r.request.life->stages;
    if (std::all_of(word.stages.begin(), word.stages.end(), [&](std::size_t stage) { return !(stages[stage].detection > 0.0); })) {
      leave_out("population.count_out_of_sight");
      continue;
    }
    const StepNumber at = counted_at(r, count);
    if (at < 0) continue;  // of an earlier season
    const std::int32_t day = std::min(at / steps_a_day, world.days - 1);
    // The bed may have been pulled the same day after the count.
    const BedDay& there = world.on(day, *bed);
    const BedDay& before = world.on(std::max(0, day - 1), *bed);
    if (there.plants <= 0.0F && before.plants <= 0.0F) {
      leave_out("population.count_without_host");
      continue;
    }
    if (count.what.plants < 1 || count.what.count < 0) {
      leave_out("population.count_of_nothing");
      continue;
    }
    const double in_one = word.masses && r.dossier().laying.per_mass ? r.dossier().laying.per_mass->value : 1.0;
    r.found.sightings.push_back({*bed, at, word.stages, in_one, count.what.plants, count.what.count, count.id});
  }
  std::stable_sort(r.found.sightings.begin(), r.found.sightings.end(),
                   [](const Sighting& a, const Sighting& b) { return a.at != b.at ? a.at < b.at : a.bed < b.bed; });
}

}  // namespace

std::optional<std::size_t> World::bed(std::string_view name) const {
  for (std::size_t b = 0; b < beds.size(); ++b)
    if (beds[b].name == name) return b;
  return std::nullopt;
}

StepNumber World::step_at(const CivilTime& standard_time) const {
  return (standard_time.date - first).count * steps_a_day + (standard_time.second_of_day + step_seconds / 2) / step_seconds;
}

WorldFound world_of(const WorldRequest& request) {
  Reading r{request, Zone::fixed(request.standard_offset), {}};
  World& world = r.found.world;
  world.first = first_day(r);
  world.days = (request.today - world.first).count + request.days_ahead + 1;
  lay_beds(r);
  plant(r);
  world.resting.resize(static_cast<std::size_t>(world.days));
  for (std::int32_t day = 0; day < world.days; ++day)
    world.resting[static_cast<std::size_t>(day)] =
        static_cast<float>(phenology::bound_share(r.dossier(), request.site, world.first + Days{day}));
  add_work(r);
  add_removals(r);
  add_sprays(r);
  std::stable_sort(world.deeds.begin(), world.deeds.end(), [](const Deed& a, const Deed& b) { return a.at < b.at; });
  add_sightings(r);
  return std::move(r.found);
}

std::optional<Deed> deed_for(const Life& life, const pest::Library& library, Deed::Kind kind, const std::string& means, bool is_active) {
  Deed deed = empty_deed(life, kind);
  if (kind == Deed::Kind::cover) close_in(*life.dossier, deed);
  if (kind == Deed::Kind::cover || kind == Deed::Kind::uncover) return deed;
  if (!add_shares(*life.dossier, means, is_active, deed)) return std::nullopt;
  if (is_active) add_residue(library, means, deed);
  return deed;
}

}  // namespace leafturn::population
