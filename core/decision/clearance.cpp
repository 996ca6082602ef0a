#include "core/decision/clearance.hpp"

#include <algorithm>

namespace leafturn::decision {
namespace {

using garden::Application;

Fact product_fact(const Application& a) { return {"product", a.product}; }

bool later(const std::optional<Instant>& a, const std::optional<Instant>& b) { return a && (!b || *a > *b); }

// Worse of two: not known beats a date, a later date beats an earlier one.
void worsen(Clearance& held, const Clearance& found) {
  if (found.clear) return;
  const bool found_unknown = !found.from;
  const bool held_unknown = !held.clear && !held.from;
  if (held.clear || (found_unknown && !held_unknown) || (!found_unknown && !held_unknown && later(found.from, held.from))) held = found;
}

bool concerns(const Application& a, const garden::Planting& p, Instant made) {
  return a.bed == p.sown.bed && (a.planting.empty() || a.planting == p.sown.planting) && (!p.removed || *p.removed > made);
}

std::optional<Instant> released_after(const garden::Garden& garden, const std::string& bed, Instant made) {
  for (const auto& release : garden.releases)
    if (release.what.bed == bed && release.at > made) return release.at;
  return std::nullopt;
}

void by_card(const BriefRequest& request, const Application& a, Instant made, const std::string& crop, BedClearance& out) {
  const auto card = a.card ? request.cards.find(*a.card) : request.cards.end();
  if (card == request.cards.end()) {
    worsen(out.harvest, {false, {}, {"clear.no_card", {product_fact(a), {"on", request.zone.civil(made)}}}});
    worsen(out.entry, {false, {}, {"clear.no_card", {product_fact(a), {"on", request.zone.civil(made)}}}});
    return;
  }
  label::Proposal proposal;
  proposal.crop = crop;
  proposal.on = {request.zone.civil(made), false};
  const label::Judgement j = label::judge(card->second, proposal, *request.library);
  if (!j.earliest_harvest) {
    worsen(out.harvest, {false, {}, {"clear.harvest_not_copied", {product_fact(a), {"on", proposal.on.time}}}});
  } else if (const Instant from = request.zone.instant(*j.earliest_harvest); from > request.at) {
    worsen(out.harvest, {false, from, {"clear.harvest_from", {product_fact(a), {"on", proposal.on.time}, {"from", *j.earliest_harvest}}}});
  }
  if (j.reentry_until_dry) {
    // Dry is seen at the bed, not computed; by the next day nobody needs telling.
    if (request.at - made < Duration::hours(12)) worsen(out.entry, {false, made + Duration::hours(12), {"clear.entry_until_dry", {product_fact(a)}}});
  } else if (!j.reentry) {
    worsen(out.entry, {false, {}, {"clear.entry_not_copied", {product_fact(a), {"on", proposal.on.time}}}});
  } else if (const Instant from = request.zone.instant(*j.reentry); from > request.at) {
    worsen(out.entry, {false, from, {"clear.entry_from", {product_fact(a), {"on", proposal.on.time}, {"from", *j.reentry}}}});
  }
}

bool carried_out(const garden::Garden& garden, const Id& plan) {
  return std::any_of(garden.applications.begin(), garden.applications.end(), [&](const auto& other) {
    return other.what.state != Application::State::planned && other.what.plan && *other.what.plan == plan;
  });
}

}  // namespace

BedClearance clearance(const BriefRequest& request, const std::string& bed, const std::vector<const garden::Planting*>& standing) {
  BedClearance out;
  out.harvest.why = {"clear.harvest_free", {}};
  out.entry.why = {"clear.entry_free", {}};
  const garden::Garden& garden = *request.garden;
  std::optional<Reason> outside;  // outweighs every other reason
  for (const auto& application : garden.applications) {
    const Application& a = application.what;
    if (a.bed != bed) continue;
    if (a.state == Application::State::planned) {
      if (carried_out(garden, application.id)) continue;
      out.spray_planned = true;
      worsen(out.harvest, {false, {}, {"clear.spray_planned", {product_fact(a), {"on", request.zone.civil(application.at)}}}});
      worsen(out.entry, {false, {}, {"clear.spray_planned", {product_fact(a), {"on", request.zone.civil(application.at)}}}});
      continue;
    }
    if (a.state != Application::State::made) continue;
    if (a.outside_label) {
      if (released_after(garden, bed, application.at)) continue;
      out.locked = true;
      outside = Reason{"clear.outside_label", {product_fact(a), {"on", request.zone.civil(application.at)}}};
    }
    for (const garden::Planting* p : standing)
      if (concerns(a, *p, application.at)) by_card(request, a, application.at, p->sown.crop, out);
  }
  if (outside) out.harvest = {false, {}, *outside};
  return out;
}

}  // namespace leafturn::decision
