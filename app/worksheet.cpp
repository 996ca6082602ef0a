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

/// What the card says of wearing, first aid, storage and disposal, in its own words.
std::vector<std::pair<std::string, std::string>> words_of(const label::Card& card) {
  std::vector<std::pair<std::string, std::string>> found;
  if (const auto* wear = card.ppe_handler.value()) {
    std::string all;
    for (const auto& one : *wear) all += (all.empty() ? "" : ", ") + one;
    found.emplace_back("ppe_handler", std::move(all));
  }
  const auto add = [&](const char* field, const label::Stated<std::string>& said) {
    if (const auto* words = said.value()) found.emplace_back(field, *words);
  };
  add("first_aid", card.first_aid);
  add("emergency", card.emergency);
  add("storage", card.storage);
  add("disposal", card.disposal);
  return found;
}

bool per_area(const label::ProductRate& rate) {
  return rate.basis == label::ProductRate::Basis::volume_per_area || rate.basis == label::ProductRate::Basis::mass_per_area;
}

/// A label may limit both how strong the spray is and how much of it, or of the product, goes on an area: all of it holds.
Status within_both(const WorksheetAnswer& out, const label::ProductRate& rate, const label::Use& use) {
  const spray::SprayVolume gives = *out.calibration.gives;
  const double carrier = gives.litres_per_square_metre();
  const auto* least = use.water_min.value();
  const auto* most = use.water_max.value();
  if ((least != nullptr && carrier < *least * (1.0 - 1e-9)) || (most != nullptr && carrier > *most * (1.0 + 1e-9)))
    return fail("worksheet.water_outside", {{}, 0, "--equipment"},
                {{"gives", Number{carrier * 1e4, 0}},
                 {"least", Number{least == nullptr ? 0.0 : *least * 1e4, 0}},
                 {"most", most == nullptr ? FactValue{std::string("–")} : FactValue{Number{*most * 1e4, 0}}}});
  const auto* limit = use.max_product.value();
  if (limit == nullptr || limit->scope != label::Scope::application) return {};
  const label::ProductRate on_area = per_area(rate) ? rate : spray::other_measure(rate, gives);
  if (on_area.basis == limit->amount.basis && on_area.value > limit->amount.value * (1.0 + 1e-9))
    return fail("worksheet.over_area_limit", {{}, 0, "--rate"}, {{"rate", out.rate}, {"limit", limit->amount.as_given}});
  return {};
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
                    {{"bed", bed}, {"rule", Term{"rule." + std::string(label::word_for(j.outcomes.front().rule))}}});
      if (std::find(out.crops.begin(), out.crops.end(), p.crop) == out.crops.end()) out.crops.push_back(p.crop);
      for (const auto& outcome : j.outcomes)
        if (outcome.state == label::State::conditional) out.conditions.push_back(outcome.reason);
      if (j.use) out.uses.push_back(*j.use);
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
  for (const std::size_t use : out.uses)
    if (const auto good = within_both(out, rate, out.card.uses[use]); !good) return good;
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
  out.on_card = words_of(out.card);
  return out;
}

}  // namespace leafturn::app
