#include <algorithm>

#include "render/csv_line.hpp"
#include "render/names.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using records::Field;
using records::Rung;
using records::SprayRecord;

std::string said(const char* key, std::vector<Fact> facts, const words::Style& style) { return words::say({key, std::move(facts)}, style); }

void join(std::string& into, const std::string& text, const char* between) { into += (into.empty() ? "" : between) + text; }

std::string number(double value) { return plain_number(value, 5); }

std::string actives(const SprayRecord& r, const words::Style& style) {
  std::string out;
  for (const auto& active : r.actives) {
    std::string one = active.name + (active.content.empty() ? "" : " " + active.content);
    if (!active.mode_of_action.empty()) one += " " + said("records.value.group", {{"group", active.mode_of_action}}, style);
    join(out, one, "; ");
  }
  return out;
}

std::string location(const SprayRecord& r, const words::Style& style) {
  return said("records.value.location",
              {{"bed", r.bed},
               {"x", number(r.laid->x.metres())},
               {"y", number(r.laid->y.metres())},
               {"latitude", number(r.latitude_deg)},
               {"longitude", number(r.longitude_deg)}},
              style);
}

std::string area(const SprayRecord& r, const words::Style& style) {
  std::string out = area_text(*r.area, style);
  if (r.whole_bed) out += words::say_key("records.value.whole_bed", style);
  if (r.spot()) out += " " + words::say_key("records.value.spot", style);
  return out;
}

std::string crops(const SprayRecord& r, bool codes, const words::Style& style) {
  std::string out;
  for (const auto& crop : r.crops) join(out, codes ? crop : crop_name(crop, style), ", ");
  return out;
}

std::string reentry(const SprayRecord& r, const words::Style& style) {
  std::string out;
  if (r.reentry_hours) out = said("records.value.hours", {{"n", number(*r.reentry_hours)}}, style);
  if (r.reentry_until_dry) join(out, words::say_key("records.value.until_dry", style), "; ");
  return out.empty() ? words::say_key("records.value.none_stated", style) : out;
}

std::string evidence(const SprayRecord& r, const Zone& zone, const words::Style& style) {
  std::string out;
  for (const auto& count : r.evidence)
    join(out,
         said("records.value.count",
              {{"day", zone.civil(count.at).date.iso()},
               {"stage", stage_name(count.what.stage, style)},
               {"count", std::int64_t{count.what.count}},
               {"plants", std::int64_t{count.what.plants}}},
              style),
         "; ");
  return out;
}

std::string tried(const SprayRecord& r, const words::Style& style) {
  std::string out;
  std::optional<Rung::Step> step;
  for (const Rung& rung : r.tried) {
    const std::string one = rung.day.iso() + " " + phrase(rung.what.key, rung.what.key, style);
    if (step == rung.step) {
      out += ", " + one;
      continue;
    }
    step = rung.step;
    const char* key = rung.step == Rung::Step::rotation     ? "records.value.rotation"
                      : rung.step == Rung::Step::sanitation ? "records.value.sanitation"
                                                            : "records.value.physical";
    join(out, words::say_key(key, style) + " " + one, "; ");
  }
  return out;
}

std::string use_type(garden::Used::Type type, const words::Style& style) {
  switch (type) {
    case garden::Used::Type::surface:
      return words::say_key("records.value.surface", style);
    case garden::Used::Type::closed_space:
      return words::say_key("records.value.closed_space", style);
    case garden::Used::Type::seed:
      return words::say_key("records.value.seed", style);
  }
  return {};
}

std::string known_value(const SprayRecord& r, Field field, const Zone& zone, const words::Style& style) {
  switch (field) {
    case Field::product:
      return r.product;
    case Field::registration:
      return r.registration;
    case Field::active:
      return actives(r, style);
    case Field::amount:
      return amount_text(*r.used.applied(), style);
    case Field::rate:
      return r.actual ? said("records.value.actual", {{"rate", r.rate}, {"actual", rate_text(*r.actual)}}, style) : r.rate;
    case Field::area:
      return area(r, style);
    case Field::location:
      return location(r, style);
    case Field::crop:
      return crops(r, false, style);
    case Field::crop_code:
      return crops(r, true, style);
    case Field::growth_stage:
      return "BBCH " + std::to_string(*r.used.growth_stage);
    case Field::date:
      return zone.civil(r.ended).date.iso();
    case Field::started:
      return when(zone, *r.started);
    case Field::ended:
      return when(zone, r.ended);
    case Field::reentry:
      return reentry(r, style);
    case Field::reentry_end:
      return when(zone, *r.entry_from);
    case Field::applicator:
      return r.applicator.name;
    case Field::address:
      return r.applicator.address;
    case Field::certificate:
      return r.applicator.certificate;
    case Field::method:
      return r.used.method;
    case Field::equipment:
      return r.used.nozzle.empty() ? r.used.equipment
                                   : said("records.value.nozzle", {{"equipment", r.used.equipment}, {"nozzle", r.used.nozzle}}, style);
    case Field::use_type:
      return use_type(*r.used.type, style);
    case Field::weather:
      return words::say(*r.weather, style);
    case Field::pest:
      return phrase("pest." + r.pest + ".name", r.pest, style);
    case Field::evidence:
      return evidence(r, zone, style);
    case Field::tried:
      return tried(r, style);
    case Field::why:
      return r.used.why;
    case Field::system_plan:
      return r.used.system_plan;
    case Field::pre_harvest:
      return said("records.value.days", {{"n", number(*r.pre_harvest_days)}}, style);
    case Field::first_harvest:
      return when(zone, *r.harvest_from);
    case Field::made_on:
      return when(zone, *r.written);
  }
  return {};
}

}  // namespace

std::string record_value(const SprayRecord& record, Field field, const Zone& zone, const words::Style& style) {
  if (!records::known(record, field)) return words::say_key("records.not_recorded", style);
  return known_value(record, field, zone, style);
}

}  // namespace leafturn::render
