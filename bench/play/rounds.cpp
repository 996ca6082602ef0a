#include "bench/play/rounds.hpp"

#include <algorithm>

namespace leafturn::play {
namespace {

std::size_t index(int bed) { return static_cast<std::size_t>(bed); }

}  // namespace

std::optional<gardens::History::Planting> standing(const Played& played, int bed) {
  const gardens::History h = played.garden.history(played.garden.today());
  std::optional<gardens::History::Planting> found;
  if (played.garden.planting_in(bed) < 0) return found;
  for (const auto& p : h.plantings)
    if (p.bed == bed && p.removed < 0 && p.set_out <= played.garden.today()) found = p;
  return found;
}

bool due(const Played& played, int bed) {
  const int today = played.garden.today();
  if (played.garden.planting_in(bed) < 0) return false;
  const auto pests = played.garden.pests();
  if (std::none_of(pests.begin(), pests.end(), [&](const std::string& pest) { return played.garden.is_host(bed, pest); })) return false;
  if (played.look_again[index(bed)] >= 0 && today >= played.look_again[index(bed)]) return true;
  const int last = played.looked_on[index(bed)];
  if (last >= 0 && today - last < visit_every) return false;
  const auto planting = standing(played, bed);
  return planting && today >= planting->set_out + leave_young;
}

void look_over(Played& played, int bed) {
  for (const std::string& pest : played.garden.pests()) {
    if (!played.garden.is_host(bed, pest)) continue;
    for (const std::string& word : played.garden.stage_words(pest)) played.garden.count(bed, pest, word, visit_plants, 0);
  }
  played.looked_on[index(bed)] = played.garden.today();
  played.look_again[index(bed)] = -1;
}

bool may_spray(const Played& played, int bed, const gardens::Product& product) {
  const int today = played.garden.today();
  const gardens::History h = played.garden.history(today);
  for (const auto& action : h.actions)
    if (action.bed == bed && action.product == product.product && today - action.day < product.interval_days) return false;
  const auto planting = standing(played, bed);
  return planting && (planting->first_harvest <= today || planting->first_harvest - today >= product.pre_harvest_days);
}

void spray(Played& played, int bed, const gardens::Product& product) {
  if (!may_spray(played, bed, product)) ++played.season.unlawful;
  played.garden.spray(bed, product.product);
  ++played.season.acts[product.product];
  played.look_again[index(bed)] = played.garden.today() + recount_after;
}

void by_hand(Played& played, int bed, bool pick, bool eggs) {
  if (pick) played.garden.hand_pick(bed);
  if (eggs) played.garden.crush_eggs(bed);
  if (pick) ++played.season.acts["hand-pick"];
  if (eggs) ++played.season.acts["crush-eggs"];
  played.look_again[index(bed)] = played.garden.today() + recount_after;
}

}  // namespace leafturn::play
