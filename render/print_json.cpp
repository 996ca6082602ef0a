#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/print.hpp"
#include "render/spray_work.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

ordered_json time_or_null(const std::optional<Instant>& at, const Zone& zone) {
  return at ? ordered_json(zone.iso(*at)) : ordered_json(nullptr);
}

ordered_json stamped(const app::Stamp& stamp) {
  return {{"garden", stamp.garden},
          {"marked", stamp.marked ? ordered_json(*stamp.marked) : ordered_json(nullptr)},
          {"at", stamp.zone.iso(stamp.at)},
          {"head", stamp.head.hex()},
          {"events", stamp.events}};
}

void put_amount(ordered_json& into, const char* name, const garden::Amount& amount) {
  if (const auto* mass = std::get_if<Mass>(&amount))
    into[std::string(name) + "_g"] = tidy(mass->grams());
  else
    into[std::string(name) + "_l"] = tidy(std::get<Volume>(amount).litres());
}

ordered_json clearance_value(const decision::Clearance& clearance, const Zone& zone) {
  return {
      {"free", clearance.clear}, {"from", time_or_null(clearance.from, zone)}, {"known", clearance.clear || clearance.from.has_value()}};
}

}  // namespace

std::string signs_json(const app::SignsAnswer& answer) {
  ordered_json out = stamped(answer.stamp);
  const Zone& zone = answer.stamp.zone;
  ordered_json signs = ordered_json::array();
  for (const auto& sign : answer.signs)
    signs.push_back({{"bed", sign.record.bed},
                     {"product", sign.record.product},
                     {"planned", sign.planned},
                     {"on", zone.iso(sign.record.ended)},
                     {"enter_from", time_or_null(sign.record.entry_from, zone)},
                     {"pick_from", time_or_null(sign.record.harvest_from, zone)},
                     {"until_dry", sign.record.reentry_until_dry},
                     {"outside_label", sign.record.outside_label},
                     {"up_from", zone.iso(sign.times.up_from)},
                     {"down_by", sign.planned ? ordered_json(nullptr) : time_or_null(sign.times.down_by, zone)}});
  out["signs"] = std::move(signs);
  return json_text(out);
}

std::string worksheet_json(const app::WorksheetAnswer& a, const words::Style& style) {
  ordered_json out = stamped(a.stamp);
  const Zone& zone = a.stamp.zone;
  out["beds"] = a.beds;
  out["crops"] = a.crops;
  out["area_m2"] = tidy(a.area.square_metres());
  out["product"] = a.card.product;
  out["rate"] = a.rate;
  out["person"] = a.person;
  out["equipment"] = a.equipment_name;
  out["nozzle"] = a.nozzle;
  out["calibrated"] = spray::word_for(a.calibration.state);
  out["catch_test"] = a.calibration.test ? ordered_json(zone.iso(a.calibration.test->at)) : ordered_json(nullptr);
  out["litres_per_hectare"] = a.calibration.gives ? ordered_json(tidy(a.calibration.gives->litres_per_hectare())) : ordered_json(nullptr);
  out["finished_l"] = a.mixed ? ordered_json(tidy(a.mixed->finished.litres())) : ordered_json(nullptr);
  ordered_json loads = ordered_json::array();
  if (a.mixed)
    for (const auto& load : a.mixed->loads) {
      ordered_json measures = ordered_json::array();
      for (const auto& reading : load.readings) measures.push_back(reading_text(reading, style));
      ordered_json one{
          {"water_l", tidy(load.water.litres())}, {"finished_l", tidy(load.finished.litres())}, {"measures", std::move(measures)}};
      one[a.mixed->weighs ? "product_g" : "product_ml"] = tidy(a.mixed->weighs ? load.product : load.product * 1e3);
      loads.push_back(std::move(one));
    }
  out["loads"] = std::move(loads);
  out["formulation"] = a.formulation.empty() ? ordered_json(nullptr) : ordered_json(a.formulation);
  out["mixing_step"] = a.step ? ordered_json(spray::word_for(*a.step)) : ordered_json(nullptr);
  out["water_ph"] = a.water_ph ? ordered_json(*a.water_ph) : ordered_json(nullptr);
  ordered_json tank = ordered_json::array();
  for (const auto& one : a.in_tank)
    tank.push_back({{"active", one.active},
                    {"half_life_h", one.water != nullptr ? ordered_json(one.water->low_hours) : ordered_json(nullptr)},
                    {"left_share", one.water != nullptr ? ordered_json(tidy(one.left)) : ordered_json(nullptr)}});
  out["in_tank"] = std::move(tank);
  ordered_json shelf = ordered_json::array();
  for (const auto& lot : a.shelf) {
    ordered_json one{{"lot", lot.lot}, {"negative", lot.negative}, {"expired", lot.expired}};
    put_amount(one, "left", lot.left);
    shelf.push_back(std::move(one));
  }
  out["shelf"] = std::move(shelf);
  out["conditions"] = reasons_json(a.conditions, style);
  out["enter_from"] = time_or_null(a.entry_from, zone);
  out["pick_from"] = time_or_null(a.harvest_from, zone);
  return json_text(out);
}

std::string calendar_json(const app::BriefAnswer& answer, const app::Stamp& stamp) {
  ordered_json out = stamped(stamp);
  ordered_json beds = ordered_json::array();
  for (const auto& bed : answer.brief.beds)
    beds.push_back({{"bed", bed.bed},
                    {"crop", bed.crop ? ordered_json(*bed.crop) : ordered_json(nullptr)},
                    {"enter", clearance_value(bed.entry, stamp.zone)},
                    {"pick", clearance_value(bed.harvest, stamp.zone)}});
  out["beds"] = std::move(beds);
  return json_text(out);
}

std::string log_json(const app::LogAnswer& answer, const words::Style& style) {
  ordered_json out = stamped(answer.stamp);
  out["of"] = answer.of;
  out["from"] = answer.from.iso();
  out["to"] = answer.to.iso();
  ordered_json lines = ordered_json::array();
  for (const auto& line : answer.lines) {
    ordered_json one{
        {"at", answer.stamp.zone.iso(line.at)}, {"bed", line.bed}, {"by", line.by}, {"detail", line.detail}, {"amended", line.amended}};
    if (answer.of == "harvests") {
      one["crops"] = line.crops;
      one["amount_g"] = line.amount ? ordered_json(tidy(line.amount->grams())) : ordered_json(nullptr);
      one["before_wait"] = line.before_wait;
      one["fate"] = line.fate ? ordered_json(words::say_key(line.fate->key, style)) : ordered_json(nullptr);
    }
    if (line.what) one["what"] = words::say_key(line.what->key, style);
    if (answer.of == "entries")
      one["stayed_min"] = line.stayed ? ordered_json(line.stayed->microseconds / 60'000'000) : ordered_json(nullptr);
    lines.push_back(std::move(one));
  }
  out["lines"] = std::move(lines);
  return json_text(out);
}

}  // namespace leafturn::render
