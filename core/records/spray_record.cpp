#include "core/records/spray_record.hpp"

#include <algorithm>

namespace leafturn::records {
namespace {

using garden::Application;
using garden::WorkDone;

constexpr int evidence_days = 30;
constexpr std::size_t most_evidence = 12;

bool same_pest(const pest::Library& library, const std::string& a, const std::string& b) {
  if (a == b) return true;
  const auto* one = library.pest(a);
  return one != nullptr && one == library.pest(b);
}

std::optional<Rung> rung_of(const garden::Dated<WorkDone>& work, const Zone& zone) {
  const Date day = zone.civil(work.at).date;
  using Kind = WorkDone::Kind;
  switch (work.what.kind) {
    case Kind::pull:
      return Rung{Rung::Step::sanitation, day, {"pages.work.pull"}};
    case Kind::clean_up:
      return Rung{Rung::Step::sanitation, day, {"pages.work.clean_up"}};
    case Kind::hand_pick:
      return Rung{Rung::Step::physical, day, {"pages.work.hand_pick"}};
    case Kind::crush_eggs:
      return Rung{Rung::Step::physical, day, {"pages.work.crush_eggs"}};
    case Kind::cover:
      return Rung{Rung::Step::physical, day, {"pages.work.cover"}};
    case Kind::water:
      return Rung{Rung::Step::physical, day, {"pages.work.water"}};
    case Kind::release_friends:
      return Rung{Rung::Step::physical, day, {"pages.work.release_friends"}};
    case Kind::uncover:
      return std::nullopt;
  }
  return std::nullopt;
}

void add_tried(SprayRecord& r, const garden::Garden& garden, const Zone& zone) {
  const Date day = zone.civil(r.ended).date;
  const Instant new_year = zone.start_of(*Date::from_ymd(day.year(), 1, 1));
  for (const auto& p : garden.plantings) {
    const bool stands = std::find(r.crops.begin(), r.crops.end(), p.sown.crop) != r.crops.end();
    if (p.sown.bed != r.bed || stands || !p.removed || *p.removed > r.ended) continue;
    r.tried.push_back({Rung::Step::rotation, zone.civil(*p.removed).date, {"crop." + p.sown.crop}});
  }
  for (const auto& work : within(garden.work, new_year, r.ended))
    if (work.what.bed == r.bed)
      if (const auto rung = rung_of(work, zone)) r.tried.push_back(*rung);
  std::stable_sort(r.tried.begin(), r.tried.end(), [](const Rung& a, const Rung& b) { return a.step < b.step; });
}

void add_evidence(SprayRecord& r, const garden::Garden& garden, const pest::Library& library) {
  if (r.pest.empty()) return;
  const auto counts = within(garden.counts, r.ended - Duration::hours(24 * evidence_days), r.ended);
  for (auto count = counts.rbegin(); count != counts.rend() && r.evidence.size() < most_evidence; ++count)
    if (count->what.bed == r.bed && same_pest(library, count->what.pest, r.pest)) r.evidence.push_back(*count);
}

/// A look longer ago was at another spray (ours).
constexpr Duration longest_spraying = Duration::hours(24);

/// When it was begun and what was measured then, where the spray carries out a plan that somebody began.
void add_beginning(SprayRecord& r, const garden::Garden& garden, const Application& a) {
  const auto* begun = a.plan ? garden.begun_of(*a.plan, r.ended) : nullptr;
  if (begun == nullptr || r.ended - begun->at > longest_spraying) return;
  if (begun->what.bed != a.bed || begun->what.product != a.product) return;
  r.started = begun->at;
  r.despite = begun->what.despite;
  const garden::AtBed& seen = begun->what.seen;
  if (!seen.wind || !seen.temperature) return;
  std::vector<Fact> facts{{"wind", *seen.wind}, {"temperature", *seen.temperature}};
  if (seen.humidity) facts.push_back({"humidity", Share{*seen.humidity}});
  std::string code = seen.humidity ? "record.weather_humid" : "record.weather";
  if (!r.despite.empty()) {
    code += "_despite";
    facts.push_back({"despite", r.despite});
  }
  r.weather = Reason{std::move(code), std::move(facts)};
}

/// The strictest of what the card says for the crops that stood there.
void add_times(SprayRecord& r, const label::Card& card, const pest::Library& library, const Zone& zone) {
  bool entry_known = true, harvest_known = true;
  for (const std::string& crop : r.crops) {
    label::Proposal proposal;
    proposal.crop = crop;
    proposal.on = {zone.civil(r.ended), false};
    proposal.zone = &zone;
    const label::Judgement j = label::judge(card, proposal, library);
    if (j.use) {
      const label::Use& use = card.uses[*j.use];
      if (const auto* reentry = use.reentry.value()) {
        if (!reentry->until_dry || reentry->hours > 0.0) r.reentry_hours = std::max(r.reentry_hours.value_or(0.0), reentry->hours);
      } else if (use.reentry.says_none()) {
        r.reentry_none = true;
      }
      if (const auto* days = use.pre_harvest_days.value()) r.pre_harvest_days = std::max(r.pre_harvest_days.value_or(0.0), *days);
    }
    r.reentry_until_dry = r.reentry_until_dry || j.reentry_until_dry;
    if (j.reentry)
      r.entry_from = std::max(r.entry_from.value_or(r.ended), zone.instant(*j.reentry));
    else
      entry_known = entry_known && r.reentry_none;
    if (j.earliest_harvest)
      r.harvest_from = std::max(r.harvest_from.value_or(r.ended), zone.instant(*j.earliest_harvest));
    else
      harvest_known = false;
  }
  // Of several crops, one that isn't known leaves the bed unknown.
  if (!entry_known) r.entry_from.reset();
  if (!harvest_known) r.harvest_from.reset();
}

}  // namespace

SprayRecord spray_record(const garden::Garden& garden, const garden::Dated<Application>& application, const label::Card* card,
                         const pest::Library& library, const Zone& zone) {
  const Application& a = application.what;
  SprayRecord r;
  r.id = application.id;
  r.bed = a.bed;
  if (const auto* laid = garden.bed(a.bed)) r.laid = *laid;
  if (garden.described) {
    r.placed = true;
    r.latitude_deg = garden.described->latitude.degrees();
    r.longitude_deg = garden.described->longitude.degrees();
  }
  r.product = a.product;
  r.rate = a.rate;
  r.pest = a.pest;
  r.used = a.used;
  r.told = garden.told_with(a);
  if (const auto told = label::parse_rate(a.rate)) r.actual = spray::actual_rate(a.used, told->basis);
  r.ended = application.at;
  r.amended = application.amended;
  r.outside_label = garden.outside_label(application);
  r.not_judged = garden.awaits_judgement(application);
  r.area = a.used.area;
  if (!r.area && r.laid) {
    r.area = r.laid->width * r.laid->length;
    r.whole_bed = true;
  }
  for (const garden::Planting* p : garden.standing(a.bed, r.ended, zone.civil(r.ended).date))
    if ((a.planting.empty() || p->sown.planting == a.planting) && std::find(r.crops.begin(), r.crops.end(), p->sown.crop) == r.crops.end())
      r.crops.push_back(p->sown.crop);
  if (card != nullptr) {
    r.registration = card->registration;
    r.actives = card->actives;
    r.restricted = card->restricted_use.value() != nullptr && *card->restricted_use.value();
    add_times(r, *card, library, zone);
  }
  add_beginning(r, garden, a);
  add_evidence(r, garden, library);
  add_tried(r, garden, zone);
  return r;
}

bool known(const SprayRecord& r, Field field) {
  switch (field) {
    case Field::product:
      return !r.product.empty();
    case Field::registration:
      return !r.registration.empty();
    case Field::active:
      return !r.actives.empty();
    case Field::amount:
      return r.used.applied().has_value();
    case Field::rate:
      return !r.rate.empty();
    case Field::area:
      return r.area.has_value();
    case Field::location:
      return r.laid.has_value() && r.placed;
    case Field::crop:
    case Field::crop_code:
      return !r.crops.empty();
    case Field::growth_stage:
      return r.used.growth_stage.has_value();
    case Field::date:
    case Field::ended:
      return true;
    case Field::started:
      return r.started.has_value();
    case Field::reentry:
      return r.reentry_hours || r.reentry_until_dry || r.reentry_none;
    case Field::reentry_end:
      return r.entry_from.has_value();
    case Field::applicator:
      return !r.applicator.name.empty();
    case Field::address:
      return !r.applicator.address.empty();
    case Field::certificate:
      return !r.applicator.certificate.empty();
    case Field::method:
      return !r.used.method.empty();
    case Field::equipment:
      return !r.used.equipment.empty();
    case Field::use_type:
      return r.used.type.has_value();
    case Field::weather:
      return r.weather.has_value();
    case Field::pest:
      return !r.pest.empty();
    case Field::evidence:
      return !r.evidence.empty();
    case Field::tried:
      return !r.tried.empty();
    case Field::why:
      return !r.used.why.empty();
    case Field::system_plan:
      return !r.used.system_plan.empty();
    case Field::pre_harvest:
      return r.pre_harvest_days.has_value();
    case Field::first_harvest:
      return r.harvest_from.has_value();
    case Field::made_on:
      return r.written.has_value();
  }
  return false;
}

std::vector<Asked> missing(const SprayRecord& record, Rule rule) {
  std::vector<Asked> found;
  for (const Asked& asked : asked_by(rule))
    if (!known(record, asked.field)) found.push_back(asked);
  return found;
}

}  // namespace leafturn::records
