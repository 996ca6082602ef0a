// People in a true garden: what they find on the plants they turn over, and the rounds of the garden's own scouts and grower.

#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

std::uint64_t key_of_word(std::string_view word) {
  std::uint64_t key = 0x30FD;
  for (const char c : word) key = key_of(key, static_cast<unsigned char>(c));
  return key;
}

std::uint64_t as_key(int number) { return static_cast<std::uint64_t>(number); }

// The plants of a visit: so many of `all`, none twice.
std::vector<char> plants_of_visit(const State& state, int bed, int all, int wanted, int person) {
  Draw draw{state.world->spec.seed, 0x7151, as_key(state.day), as_key(bed), as_key(person)};
  std::vector<int> order(static_cast<std::size_t>(all));
  for (int i = 0; i < all; ++i) order[static_cast<std::size_t>(i)] = i;
  std::vector<char> taken(static_cast<std::size_t>(all), 0);
  for (int i = 0; i < std::min(wanted, all); ++i) {
    std::swap(order[static_cast<std::size_t>(i)], order[static_cast<std::size_t>(draw.whole(i, all - 1))]);
    taken[static_cast<std::size_t>(order[static_cast<std::size_t>(i)])] = 1;
  }
  return taken;
}

bool interval_over(const State& state, int bed, const Product& product) {
  for (const auto& action : state.actions)
    if (action.bed == bed && action.product == product.product && state.day - action.day < product.interval_days) return false;
  return true;
}

void grower_acts(State& state, Garden& garden, int bed) {
  const Grower& grower = state.world->grower;
  const Planting& planting = state.world->planting(state.bed(bed).planting);
  if (grower.favourite >= 0) {
    const Product& product = products()[static_cast<std::size_t>(grower.favourite)];
    const bool picking = state.day + product.pre_harvest_days >= planting.first;
    if ((!picking || product.pre_harvest_days <= 1) && interval_over(state, bed, product)) {
      garden.spray(bed, product.product);
      return;
    }
  }
  garden.hand_pick(bed);
  garden.crush_eggs(bed);
}

}  // namespace

bool stage_matches(const Species& bio, int stage, std::string_view word) {
  const Group group = bio.group(stage);
  if (word == "any") return true;
  if (word == "egg-mass") return group == Group::egg;
  if (word == "feeding") return (group == Group::larva || group == Group::nymph || group == Group::adult) && !bio.hidden(stage);
  return word == word_of(group);
}

double detection_of(const PestHere& pest, int person, Group group) {
  return pest.detection[static_cast<std::size_t>(std::clamp(person, 0, 1))][static_cast<std::size_t>(group)];
}

int look_at(const State& state, int bed, int pest, std::string_view word, int plants, int person) {
  const Scene scene = state.scene();
  const int all = scene.plants(bed);
  if (all == 0 || plants <= 0) return 0;
  const PestHere& here = state.world->pest(pest);
  const Species& bio = here.species();
  const auto taken = plants_of_visit(state, bed, all, plants, person);
  std::vector<Lying> lying;
  state.form->list(scene, pest, bed, lying);
  const std::uint64_t visit =
      key_of({state.world->spec.seed, 0x5EE5, as_key(state.day), as_key(bed), as_key(person), as_key(pest), key_of_word(word)});
  std::map<std::uint64_t, int> masses;
  int found = 0;
  std::uint64_t nth = 0;
  for (const Lying& one : lying) {
    ++nth;
    if (!taken[static_cast<std::size_t>(one.plant)] || bio.hidden(one.stage) || !stage_matches(bio, one.stage, word)) continue;
    if (one.mass != 0) {
      masses[one.mass] += one.number;
      continue;
    }
    const double chance = detection_of(here, person, bio.group(one.stage)) * (bio.small(one.stage) ? 0.5 : 1.0);
    Draw draw{visit, as_key(one.plant), as_key(one.stage), nth};
    found += draw.binomial(one.number, chance);
  }
  for (const auto& [mass, eggs] : masses)
    if (unit_of(key_of(visit, mass)) < detection_of(here, person, Group::egg)) found += word == "egg-mass" ? 1 : eggs;
  return found;
}

void do_rounds(State& state, Garden& garden) {
  const World& world = *state.world;
  Draw draw{world.spec.seed, 0x20D5, as_key(state.day)};
  const int person = draw.whole(0, world.people - 1);
  const bool visiting = (state.day - first_day + static_cast<int>(world.spec.seed % 7)) % world.visit_every == 0;
  for (int b = 0; b < static_cast<int>(state.beds.size()); ++b) {
    const bool missed = draw.chance(world.missed), willing = draw.chance(0.7);
    const BedState& bed = state.bed(b);
    if (bed.planting < 0) continue;
    const Planting& planting = world.planting(bed.planting);
    if (world.grower.acts && world.grower.covers) {
      if (state.day == planting.set_out + 1 && !bed.covered) garden.cover(b);
      if (bed.covered && (state.day >= planting.set_out + 32 || state.day >= planting.first - 2)) garden.uncover(b);
    }
    if (!visiting || missed || state.day < planting.set_out + 4) continue;
    double worst = 0.0;
    for (int p = 0; p < static_cast<int>(world.pests.size()); ++p) {
      const Species& bio = world.pest(p).species();
      if (world.liking(p, bed.planting) <= 0.0) continue;
      double feeding = 0.0;
      for (const std::string& word : garden.stage_words(bio.key)) {
        const int n = garden.count(b, bio.key, word, world.visit_plants, person);
        if (word != "egg" && word != "egg-mass") feeding += n;
      }
      // Aphids and mites count by the dozen.
      const double many = bio.plant_holds > 150.0 ? 30.0 : 1.0;
      worst = std::max(worst, feeding / many / std::min(world.visit_plants, planting.plants));
    }
    if (world.grower.acts && willing && worst >= world.grower.threshold) grower_acts(state, garden, b);
  }
}

}  // namespace leafturn::gardens
