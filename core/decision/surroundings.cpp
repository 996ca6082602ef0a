#include "core/decision/surroundings.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"

namespace leafturn::decision {
namespace {

using garden::Application;
using garden::WorkDone;

Date day_of(const Zone& zone, const garden::Planting& planting) { return planting.sown.set_out.value_or(zone.civil(planting.at).date); }

std::vector<label::Past> history_with_actives(const garden::Garden& garden, const Zone& zone, const std::string& bed,
                                              const std::map<Digest, label::Card>& cards) {
  std::vector<label::Past> history;
  for (const auto& a : garden.applications) {
    if (a.what.bed != bed || a.what.state != Application::State::made) continue;
    label::Past past{zone.civil(a.at).date, a.what.product};
    const auto card = a.what.card ? cards.find(*a.what.card) : cards.end();
    if (card != cards.end()) past.actives = card->second.actives;
    if (auto rate = label::parse_rate(a.what.rate)) past.rate = std::move(*rate);
    history.push_back(std::move(past));
  }
  return history;
}

std::optional<bool> cover_on(const garden::Garden& garden, const std::string& bed, Instant on) {
  std::optional<bool> lies;
  for (const auto& work : garden.work) {
    if (work.what.bed != bed || work.at > on) continue;
    if (work.what.kind == WorkDone::Kind::cover) lies = true;
    if (work.what.kind == WorkDone::Kind::uncover) lies = false;
  }
  return lies;
}

std::vector<label::Tried> tried_on(const garden::Garden& garden, const Zone& zone, const std::string& bed, Instant on) {
  const auto means = [](WorkDone::Kind kind) -> const char* {
    switch (kind) {
      case WorkDone::Kind::hand_pick:
        return "hand-pick";
      case WorkDone::Kind::crush_eggs:
        return "crush-eggs";
      case WorkDone::Kind::cover:
        return "cover";
      case WorkDone::Kind::water:
        return "water";
      case WorkDone::Kind::release_friends:
        return "release-friends";
      case WorkDone::Kind::clean_up:
        return "clean-up";
      case WorkDone::Kind::uncover:
      case WorkDone::Kind::pull:
        break;
    }
    return nullptr;
  };
  std::vector<label::Tried> tried;
  for (const auto& work : garden.work) {
    const bool lately = work.at < on && on - work.at <= Duration::hours(24 * tried_within_days);
    if (work.what.bed == bed && lately && means(work.what.kind) != nullptr)
      tried.push_back({means(work.what.kind), zone.civil(work.at).date});
  }
  return tried;
}

}  // namespace

Length gap_between(const garden::BedLaid& a, const garden::BedLaid& b) {
  const auto apart = [](Length from_a, Length to_a, Length from_b, Length to_b) {
    return std::max({from_b - to_a, from_a - to_b, Length::metres(0.0)}).metres();
  };
  const double dx = apart(a.x, a.x + a.width, b.x, b.x + b.width);
  const double dy = apart(a.y, a.y + a.length, b.y, b.y + b.length);
  return Length::metres(num::sqrt(dx * dx + dy * dy));
}

void add_surroundings(label::Proposal& proposal, const garden::Garden& garden, const Zone& zone, const garden::Planting& planting,
                      Instant on, const label::Card& card, const std::map<Digest, label::Card>& cards) {
  const std::string& bed = planting.sown.bed;
  const Date day = proposal.on.time.date;
  proposal.jurisdiction = garden.described ? garden.described->jurisdiction : std::string{};
  proposal.history = history_with_actives(garden, zone, bed, cards);
  proposal.crop_since = day_of(zone, planting);
  if (planting.sown.last_harvest && *planting.sown.last_harvest > *proposal.crop_since)
    proposal.cycle_days = (*planting.sown.last_harvest - *proposal.crop_since).count;
  for (const garden::Planting& next : garden.plantings)
    if (next.sown.bed == bed && next.id != planting.id && next.sown.set_out && *next.sown.set_out > day)
      proposal.sowings.push_back({next.sown.crop, *next.sown.set_out});
  proposal.covered = cover_on(garden, bed, on);
  proposal.tried = tried_on(garden, zone, bed, on);

  if (const auto* answer = garden.agency_answer(card.product, on); answer != nullptr)
    proposal.agency = label::AgencyAnswer{answer->what.allows, answer->what.on, answer->what.words};
  if (garden.described) proposal.produce = garden.described->produce;

  const garden::BedLaid* here = garden.bed(bed);
  if (here == nullptr) return;
  proposal.organic = here->organic;
  proposal.enclosed = here->enclosed;
  Length reach = usual_drift;
  if (const Length* buffer = card.conditions.buffer.value()) reach = std::max(reach, *buffer);
  for (const garden::BedLaid& other : garden.beds) {
    if (other.bed == bed || gap_between(*here, other) > reach) continue;
    for (const garden::Planting* p : garden.standing(other.bed, on, day))
      proposal.neighbours.push_back({other.bed, p->sown.crop, harvests_from(garden, *p, day)});
  }
}

}  // namespace leafturn::decision
