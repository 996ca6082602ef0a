#include "app/waits.hpp"

#include <algorithm>
#include <functional>
#include <set>

#include "app/judge_event.hpp"
#include "app/materials.hpp"

namespace leafturn::app {
namespace {

using decision::Clearance;
using garden::Application;

/// Does `after` free what `before` kept?
bool looser(const Clearance& after, const Clearance& before) {
  const auto rank = [](const Clearance& c) { return c.clear ? 0 : c.from ? 1 : 2; };
  if (rank(after) != rank(before)) return rank(after) < rank(before);
  return after.from && before.from && *after.from < *before.from;
}

/// What was first told may be told again (`first`).
Status none_looser(OpenGarden& garden, const garden::Garden& before, const garden::Garden& after, const garden::Garden* first,
                   const std::set<std::string>& beds, Instant at) {
  for (const std::string& bed : beds) {
    const auto was = clear_at(garden, before, bed, at);
    if (!was) return fail(was.error());
    const auto is = clear_at(garden, after, bed, at);
    if (!is) return fail(is.error());
    if (!looser(is->harvest, was->harvest) && !looser(is->entry, was->entry)) continue;
    if (first != nullptr) {
      const auto told = clear_at(garden, *first, bed, at);
      if (!told) return fail(told.error());
      if (!looser(is->harvest, told->harvest) && !looser(is->entry, told->entry)) continue;
    }
    return fail("treat.frees_bed", {{}, 0, "replacement"}, {{"bed", bed}});
  }
  return {};
}

/// The bed a saying is about; empty where it is about none.
std::string bed_of(const garden::Garden& state, const garden::Saying& saying) {
  if (const auto* application = std::get_if<Application>(&saying)) return application->bed;
  if (const auto* sown = std::get_if<garden::PlantingSown>(&saying)) return sown->bed;
  if (const auto* work = std::get_if<garden::WorkDone>(&saying))
    return work->kind == garden::WorkDone::Kind::pull ? work->bed : std::string{};
  if (const auto* removed = std::get_if<garden::PlantingRemoved>(&saying))
    if (const auto* planting = state.planting(removed->planting); planting != nullptr) return planting->sown.bed;
  return {};
}

bool made_in(const garden::Garden& state, const std::string& bed, const std::function<bool(const garden::Dated<Application>&)>& which) {
  return std::any_of(state.applications.begin(), state.applications.end(),
                     [&](const auto& a) { return a.what.bed == bed && a.what.state == Application::State::made && which(a); });
}

/// Whether an event takes away what stood in a bed before a spray that is written down already.
bool gone_before_a_spray(const garden::Garden& state, const garden::Event& event) {
  const auto saying = garden::saying_of(event.payload);
  if (!saying || !(std::holds_alternative<garden::WorkDone>(*saying) || std::holds_alternative<garden::PlantingRemoved>(*saying)))
    return false;
  const std::string bed = bed_of(state, *saying);
  return !bed.empty() && made_in(state, bed, [&](const auto& a) { return a.at > event.heading.at(); });
}

/// A made spray of which no card was known, put right in nothing but its card: its card judges it.
bool only_its_card(const garden::Garden& state, const garden::Event& told, const garden::Amended& amended) {
  const auto* now_said = amended.replacement ? std::get_if<Application>(&*amended.replacement) : nullptr;
  if (now_said == nullptr) return false;
  for (const auto& a : state.applications)
    if (a.id == amended.target)
      return a.what.bed == now_said->bed && a.what.product == now_said->product && (!a.what.card || a.what.card == now_said->card) &&
             a.at == amended.happened_at.value_or(told.heading.at());
  return false;
}

/// The beds an amendment may free: those of what was told and of what is told now, where something was sprayed that the amended saying
/// stood for. Releases and judgements have rules of their own.
std::set<std::string> beds_at_stake(const garden::Garden& state, const garden::Recorded& told, const garden::Amended& amended) {
  const auto saying = garden::saying_of(told.event.payload);
  if (!saying) return {};
  const bool spray = std::holds_alternative<Application>(*saying);
  if (spray && only_its_card(state, told.event, amended)) return {};
  std::set<std::string> beds{bed_of(state, *saying)};
  if (amended.replacement) beds.insert(bed_of(state, *amended.replacement));
  for (const auto& a : state.applications)
    if (a.id == amended.target) beds.insert(a.what.bed);
  for (const auto& p : state.plantings)
    if (p.id == amended.target) beds.insert(p.sown.bed);
  // A planting told only after every spray of a bed was written down stood for none of them.
  const bool sown = std::holds_alternative<garden::PlantingSown>(*saying);
  std::erase_if(beds, [&](const std::string& bed) {
    return bed.empty() || !made_in(state, bed, [&](const auto& a) { return !sown || a.seq > told.seq; });
  });
  return beds;
}

}  // namespace

Result<decision::BedClearance> clear_at(OpenGarden& garden, const garden::Garden& state, const std::string& bed, Instant at) {
  SharedList<garden::Dated<Application>> of_bed;
  for (const auto& a : state.applications) {
    if (a.what.bed != bed) continue;
    if (a.what.state == Application::State::planned ? state.begun_of(a.id, at) != nullptr : a.at <= at) of_bed.push_back(a);
  }
  decision::BedClearance free;
  free.harvest.clear = free.entry.clear = true;
  if (of_bed.empty()) return free;
  const auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  // No more is looked at than this bed asks for: it is asked with every harvest.
  garden::Garden until = state;
  until.applications = std::move(of_bed);
  until.cards = {};
  erase_if(until.releases, [&](const auto& r) { return r.at > at; });
  auto cards = cards_of(garden, until);
  if (!cards) return fail(cards.error());
  decision::BriefRequest request;
  request.garden = &until;
  request.library = &garden.library();
  request.cards = std::move(*cards);
  request.zone = *zone;
  request.at = at;
  const Date today = zone->civil(at).date;
  // What is taken out on a day was picked that day: its waits hold as long.
  auto standing = until.standing(bed, at, today);
  for (const garden::Planting& p : until.plantings)
    if (p.sown.bed == bed && p.removed && *p.removed <= at && zone->civil(*p.removed).date == today) standing.push_back(&p);
  return decision::clearance(request, bed, standing);
}

Status frees_no_bed(OpenGarden& garden, const garden::Chronicle& chronicle, const garden::Garden& state, const garden::Event& event,
                    const std::optional<garden::Recorded>& target, Instant now) {
  const auto* amended = std::get_if<garden::Amended>(&event.payload);
  std::set<std::string> at_stake;
  if (amended != nullptr && target) at_stake = beds_at_stake(state, *target, *amended);
  if (gone_before_a_spray(state, event)) at_stake.insert(bed_of(state, *garden::saying_of(event.payload)));
  if (at_stake.empty()) return {};
  const auto with = [&](const garden::Event& said) {
    garden::Chronicle put_right = chronicle;
    put_right.add({chronicle.last_seq() + 1, now, said}, target ? &*target : nullptr);
    return put_right.at(end_of_time);
  };
  std::optional<garden::Garden> first;
  if (target && !std::holds_alternative<Application>(target->event.payload)) {
    garden::Event again = event;
    again.payload = garden::Amended{amended->target, amended->reason, garden::saying_of(target->event.payload), target->event.heading.at()};
    first = with(again);
  }
  const auto at = garden.asked_time(std::nullopt, now);
  if (!at) return fail(at.error());
  return none_looser(garden, state, with(event), first ? &*first : nullptr, at_stake, *at);
}

}  // namespace leafturn::app
