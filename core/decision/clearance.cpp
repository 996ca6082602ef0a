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

/// Hours after which an interval that wasn't copied no longer holds people out of a bed whose sprayed crop is gone. The longest a card can
/// say is a year (io/card_toml).
constexpr Duration longest_entry = Duration::hours(366 * 24);

/// Common practice, no source: leaves sprayed by day are dry by night, those sprayed later when next day's dew is off. Dry is seen at the
/// bed, not computed; this is only when the board stops saying so.
Instant surely_dry(const Zone& zone, Instant made) {
  const Instant end = made + Duration::hours(12);
  const CivilTime wall = zone.civil(end);
  return wall.hour() < 12.0 ? std::max(end, zone.instant({wall.date, 12 * 3600})) : end;
}

/// Whom an application's waiting times bind.
struct Bound {
  std::string crop;
  bool stands = true;  ///< still in the bed: a time that isn't known holds for as long as it stands
};

/// The crops that stood in the bed when it was sprayed, gone since or not: pulling a crop makes neither soil nor harvest clean. What was
/// set out later wasn't sprayed; it counts where no crop is known that was.
std::vector<Bound> bound_by(const BriefRequest& request, const garden::Dated<Application>& a,
                            const std::vector<const garden::Planting*>& now) {
  std::vector<Bound> bound;
  const auto stands = [&](const garden::Planting* p) {
    return std::any_of(now.begin(), now.end(), [&](const garden::Planting* other) { return other->id == p->id; });
  };
  const Date day = request.zone.civil(a.at).date;
  for (const garden::Planting* p : request.garden->standing(a.what.bed, a.at, day)) bound.push_back({p->sown.crop, stands(p)});
  if (bound.empty())
    for (const garden::Planting* p : now) bound.push_back({p->sown.crop, true});
  if (bound.empty()) bound.push_back({{}, false});
  return bound;
}

/// What an application's card holds against picking and entering. After a release only times the card names count, and for entry the times
/// it doesn't name too unless an authority spoke: destroying a crop makes nobody safe in the bed.
struct ByCard {
  const BriefRequest& request;
  const garden::Dated<Application>& a;
  const garden::Dated<garden::BedReleased>* release;
  BedClearance& out;

  Fact product() const { return product_fact(a.what); }
  Fact on() const { return {"on", request.zone.civil(a.at)}; }

  void unknown_harvest(const Bound& b, const char* code) const {
    if (b.stands && release == nullptr) worsen(out.harvest, {false, {}, {code, {product(), on()}}});
  }
  void unknown_entry(const Bound& b, const char* code) const {
    if (release != nullptr && release->what.basis == garden::BedReleased::Basis::authority) return;
    if (b.stands || request.at - a.at < longest_entry) worsen(out.entry, {false, {}, {code, {product(), on()}}});
  }
  void until(Clearance& held, Instant from, const char* code) const {
    if (from > request.at) worsen(held, {false, from, {code, {product(), on(), {"from", request.zone.civil(from)}}}});
  }

  void apply(const Bound& b) const {
    const auto card = a.what.card ? request.cards.find(*a.what.card) : request.cards.end();
    if (card == request.cards.end()) {
      unknown_harvest(b, "clear.no_card");
      unknown_entry(b, "clear.no_card");
      return;
    }
    label::Proposal proposal;
    proposal.crop = b.crop;
    proposal.on = {request.zone.civil(a.at), false};
    proposal.zone = &request.zone;
    const label::Judgement j = label::judge(card->second, proposal, *request.library);
    const auto known = [&](label::Rule rule) {
      return std::any_of(j.outcomes.begin(), j.outcomes.end(),
                         [&](const label::Outcome& o) { return o.rule == rule && o.state != label::State::unknown; });
    };
    const Instant dry = surely_dry(request.zone, a.at);
    if (j.earliest_harvest) until(out.harvest, request.zone.instant(*j.earliest_harvest), "clear.harvest_from");
    if (!known(label::Rule::pre_harvest) || !known(label::Rule::reentry))
      unknown_harvest(b, "clear.harvest_not_copied");
    else if (j.reentry_until_dry)
      until(out.harvest, dry, "clear.harvest_until_dry");
    if (!known(label::Rule::reentry)) unknown_entry(b, "clear.entry_not_copied");
    if (j.reentry) until(out.entry, request.zone.instant(*j.reentry), "clear.entry_from");
    if (j.reentry_until_dry) until(out.entry, dry, "clear.entry_until_dry");
  }
};

}  // namespace

bool plan_finished(const garden::Garden& garden, const Id& plan) {
  return std::any_of(garden.applications.begin(), garden.applications.end(), [&](const auto& other) {
    return other.what.state != Application::State::planned && other.what.plan && *other.what.plan == plan;
  });
}

BedClearance clearance(const BriefRequest& request, const std::string& bed, const std::vector<const garden::Planting*>& standing) {
  BedClearance out;
  out.harvest.why = {"clear.harvest_free", {}};
  out.entry.why = {"clear.entry_free", {}};
  const garden::Garden& garden = *request.garden;
  std::optional<Reason> outside, unjudged;  // outweigh every other reason
  for (const auto& application : garden.applications) {
    const Application& a = application.what;
    if (a.bed != bed) continue;
    if (a.state == Application::State::planned) {
      if (plan_finished(garden, application.id)) continue;
      out.spray_planned = true;
      if (const auto* begun = garden.begun_of(application.id, request.at); begun != nullptr) {
        const Reason going_on{"clear.spray_begun", {product_fact(a), {"on", request.zone.civil(begun->at)}}};
        worsen(out.harvest, {false, {}, going_on});
        worsen(out.entry, {false, {}, going_on});
        continue;
      }
      worsen(out.harvest, {false, {}, {"clear.spray_planned", {product_fact(a), {"on", request.zone.civil(application.at)}}}});
      worsen(out.entry, {false, {}, {"clear.spray_planned", {product_fact(a), {"on", request.zone.civil(application.at)}}}});
      continue;
    }
    if (a.state != Application::State::made) continue;
    if (garden.awaits_judgement(application)) {
      out.not_judged = true;
      unjudged = Reason{"clear.not_judged", {product_fact(a), {"on", request.zone.civil(application.at)}}};
    }
    const bool is_outside = garden.outside_label(application);
    const auto* release = is_outside ? garden.release_of(application) : nullptr;
    if (is_outside && release == nullptr) {
      out.locked = true;
      outside = Reason{"clear.outside_label", {product_fact(a), {"on", request.zone.civil(application.at)}}};
    }
    for (const Bound& bound : bound_by(request, application, standing)) ByCard{request, application, release, out}.apply(bound);
  }
  if (unjudged) out.entry = {false, {}, *unjudged};
  if (outside || unjudged) out.harvest = {false, {}, outside ? *outside : *unjudged};
  return out;
}

}  // namespace leafturn::decision
