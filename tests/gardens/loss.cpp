// What feeding costs. Leaves eaten (or sucked dry, in the same measure) against leaves there are; a crop stands some of it, then growth
// suffers, at most 90 %; leaf crops are refused for holes, heads and leaves for what sits in them at picking. Shapes and sizes are
// invented, after the usual form of damage curves: a tolerance, then saturation.

#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

struct PartLoss {
  double tolerates;     ///< mean share of leaves eaten without loss
  double holes;         ///< eaten share at which 63 % of the pieces are refused; 0: holes don't matter
  double contaminates;  ///< weight of insects on the piece
  double keeps;         ///< share still good when picking waits
};
PartLoss loss_of(Part part) {
  if (part == Part::leaf) return {0.03, 0.08, 1.0, 0.8};
  if (part == Part::head) return {0.12, 0.0, 1.0, 0.6};
  if (part == Part::fruit) return {0.12, 0.0, 0.0, 0.2};
  return {0.18, 0.0, 0.0, 1.0};
}

const Crop& crop_of(const World& world, int planting) { return crops()[static_cast<std::size_t>(world.planting(planting).crop)]; }

double daily_kg(const World& world, int planting) {
  const Planting& p = world.planting(planting);
  return p.plants * crop_of(world, planting).kg_per_plant / (p.last - p.first + 1);
}

void tend(State& state, int at) {
  BedState& bed = state.bed(at);
  const World& world = *state.world;
  const Planting& p = world.planting(bed.planting);
  const Crop& crop = crop_of(world, bed.planting);
  double eaten_cm2 = 0.0, unwanted = 0.0;
  for (int pest = 0; pest < static_cast<int>(world.pests.size()); ++pest) {
    const Species& bio = world.pest(pest).species();
    if (world.liking(pest, bed.planting) <= 0.0) continue;
    const ByStage n = state.form->totals(pest, at);
    const double warmth = world.heat_on(pest, state.day).warmth;
    for (int s = 0; s <= bio.adult(); ++s) {
      eaten_cm2 += n[static_cast<std::size_t>(s)] * bio.eats(s) * warmth;
      const bool flies = s == bio.adult() && bio.adult_eats_cm2 <= 0.0;
      if (bio.group(s) != Group::egg && !bio.hidden(s) && !flies) unwanted += n[static_cast<std::size_t>(s)] * bio.contaminates;
    }
  }
  const double grown = std::clamp((state.day - p.set_out + 8) / 45.0, 0.05, 1.0);
  bed.eaten = std::min(1.0, 0.98 * bed.eaten + eaten_cm2 / (p.plants * crop.leaf_cm2 * grown));
  bed.mean_eaten += (bed.eaten - bed.mean_eaten) / 21.0;
  if (state.day < p.first || state.day > p.last) return;
  const PartLoss part = loss_of(crop.part);
  const double grows = 1.0 - 0.9 * (1.0 - exp_of(-std::max(0.0, bed.mean_eaten - part.tolerates) / 0.3));
  const double whole = part.holes > 0.0 ? exp_of(-bed.eaten / part.holes) : 1.0, clean = exp_of(-part.contaminates * unwanted / p.plants);
  const double due = daily_kg(world, bed.planting), good = due * grows * whole * clean;
  const double waited = state.day < bed.picked_from ? good * (1.0 - part.keeps) : 0.0;
  bed.ledger.potential_kg += due;
  bed.ledger.picked_kg += good - waited;
  bed.ledger.lost_kg += due - good;
  bed.ledger.waited_kg += waited;
  bed.ledger.lost_value += (due - good + waited) * crop.value_per_kg;
}

}  // namespace

double potential_value(const World& world, int planting) {
  const Planting& p = world.planting(planting);
  const int days = std::max(0, std::min(p.last, last_day) - p.first + 1);
  return days * daily_kg(world, planting) * crop_of(world, planting).value_per_kg;
}

void forgo_rest(State& state, int at) {
  BedState& bed = state.bed(at);
  const Planting& p = state.world->planting(bed.planting);
  const int days = std::max(0, std::min(p.last, last_day) - std::max(p.first, state.day) + 1);
  const double kg = days * daily_kg(*state.world, bed.planting);
  bed.ledger.forgone_kg += kg;
  bed.ledger.lost_value += kg * crop_of(*state.world, bed.planting).value_per_kg;
}

void feed_and_pick(State& state) {
  for (int b = 0; b < static_cast<int>(state.beds.size()); ++b)
    if (state.bed(b).planting >= 0) tend(state, b);
}

}  // namespace leafturn::gardens
