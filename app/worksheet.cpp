#include "app/worksheet.hpp"

#include <algorithm>
#include <charconv>

#include "app/moment.hpp"
#include "app/record.hpp"
#include "core/decision/proposal.hpp"

namespace leafturn::app {
namespace {

Result<double> number_of(const std::string& text, const char* field, double low, double high) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !(value >= low && value <= high))
    return fail("worksheet.number", {{}, 0, field}, {{"given", text}, {"low", Number{low, 0}}, {"high", Number{high, 0}}});
  return value;
}

/// The sprayer this person was last calibrated with, else the last one written down.
std::string usual_sprayer(const garden::Garden& state, const std::string& by) {
  for (auto test = state.catch_tests.rbegin(); test != state.catch_tests.rend(); ++test)
    if (test->by == by) return test->what.equipment;
  return state.equipment.empty() ? std::string{} : state.equipment.back().what.equipment;
}

/// A field of the card that no rule reads, in the card's words.
std::string said_on(const label::Card& card, std::string_view field) {
  for (const auto& other : card.others)
    if (other.field == field) return other.text;
  return {};
}
std::string unquoted(std::string text) {
  if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
  return text;
}

/// Beds, one after the other: what the card says, and the ground they are.
Status judge_beds(OpenGarden& garden, const garden::Garden& state, const WorksheetQuestion& q, Instant at, WorksheetAnswer& out) {
  bool harvest_known = true, entry_known = true;
  for (const std::string& bed : q.beds) {
    const auto* laid = state.bed(bed);
    if (laid == nullptr) return fail("garden.no_such_bed", {{}, 0, "--bed"}, {{"bed", bed}}, ErrorKind::not_found);
    const auto answer = may_treat(garden, {bed, q.product, q.rate, at});
    if (!answer) return fail(answer.error());
    if (answer->plantings.empty()) return fail("treat.bed_empty", {{}, 0, "--bed"}, {{"bed", bed}});
    out.card = answer->card;
    for (const auto& p : answer->plantings) {
      const auto& j = p.judgement;
      if (!decision::may_go_ahead(j.verdict))
        return fail("worksheet.not_allowed", {{}, 0, "--bed"},
                    {{"bed", bed}, {"rule", Term{"worksheet.rule." + std::string(label::word_for(j.outcomes.front().rule))}}});
      if (std::find(out.crops.begin(), out.crops.end(), p.crop) == out.crops.end()) out.crops.push_back(p.crop);
      for (const auto& outcome : j.outcomes)
        if (outcome.state == label::State::conditional) out.conditions.push_back(outcome.reason);
      if (j.use)
        if (const auto* least = out.card.uses[*j.use].rate_min.value(); least != nullptr && (!out.least || least->value > out.least->value))
          out.least = *least;
      if (j.reentry) out.entry_from = std::max(out.entry_from.value_or(at), out.stamp.zone.instant(*j.reentry));
      if (j.earliest_harvest) out.harvest_from = std::max(out.harvest_from.value_or(at), out.stamp.zone.instant(*j.earliest_harvest));
      harvest_known = harvest_known && j.earliest_harvest;
      entry_known = entry_known && j.reentry;
    }
    out.beds.push_back(bed);
    out.area += laid->width * laid->length;
  }
  if (!harvest_known) out.harvest_from.reset();
  if (!entry_known) out.entry_from.reset();
  return {};
}

Status mix_it(WorksheetAnswer& out, const label::ProductRate& rate) {
  if (!out.calibration.gives) return {};
  spray::MixRequest request;
  request.rate = rate;
  if (out.least && out.least->basis == rate.basis) request.least = out.least;
  request.carrier = out.calibration.gives;
  request.area = out.area;
  if (out.equipment && out.equipment->tank) request.tank = out.equipment->tank;
  auto mixed = spray::mix(request);
  if (!mixed) return fail(mixed.error());
  out.mixed = std::move(*mixed);
  out.other = spray::other_measure(rate, *out.calibration.gives);
  return {};
}

}  // namespace

Result<WorksheetAnswer> worksheet(OpenGarden& garden, Access& access, const WorksheetQuestion& q, Instant now) {
  if (q.beds.empty()) return fail("worksheet.no_bed", {{}, 0, "--bed"});
  const auto moment = moment_without_weather(garden, q.at, now);
  if (!moment) return fail(moment.error());
  WorksheetAnswer out;
  auto stamp = stamp_of(garden, moment->garden, moment->at);
  if (!stamp) return fail(stamp.error());
  out.stamp = std::move(*stamp);
  const garden::Garden& state = moment->garden;
  if (const auto judged = judge_beds(garden, state, q, moment->at, out); !judged) return fail(judged.error());
  const auto rate = label::parse_rate(q.rate);
  if (!rate) return fail(rate.error());
  out.rate = q.rate;
  const auto people = people_of(access);
  if (!people) return fail(people.error());
  std::string by = q.by;
  for (const auto& [reference, person] : people->people)
    if (!person.erased && person.name == q.by) by = reference;
  out.person = people->name(by);
  out.equipment_name = q.equipment.empty() ? usual_sprayer(state, by) : q.equipment;
  if (const auto* kept = spray::equipment_of(state, out.equipment_name)) out.equipment = *kept;
  out.calibration = spray::calibration_of(state, out.equipment_name, q.nozzle, by, moment->at);
  out.nozzle = !q.nozzle.empty() || !out.equipment ? q.nozzle : out.equipment->nozzle;
  if (const auto mixed = mix_it(out, *rate); !mixed) return fail(mixed.error());
  out.formulation = unquoted(said_on(out.card, "card.formulation"));
  out.step = spray::mixing_step(out.formulation);
  if (q.hours) {
    const auto hours = number_of(*q.hours, "--hours", 0.0, 48.0);
    if (!hours) return fail(hours.error());
    out.hours = *hours;
  }
  if (q.water_ph) {
    const auto ph = number_of(*q.water_ph, "--water-ph", 3.0, 12.0);
    if (!ph) return fail(ph.error());
    out.water_ph = *ph;
    for (const auto& active : out.card.actives) {
      const auto* known = garden.library().active_named(active.name);
      InTank one{active.name, known == nullptr ? nullptr : spray::in_water(*known, *ph), 1.0};
      if (one.water != nullptr) one.left = spray::left_in_tank(out.hours, one.water->low_hours);
      out.in_tank.push_back(one);
    }
  }
  for (auto& lot : spray::shelf(state, out.stamp.zone.civil(moment->at).date))
    if (lot.product == q.product) out.shelf.push_back(lot);
  for (const char* field : {"card.ppe_handler", "card.first_aid", "card.emergency", "card.storage", "card.disposal"})
    if (auto text = unquoted(said_on(out.card, field)); !text.empty()) out.on_card.emplace_back(field, std::move(text));
  return out;
}

}  // namespace leafturn::app
