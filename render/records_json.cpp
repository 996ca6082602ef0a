#include <nlohmann/json.hpp>

#include "app/treat_question.hpp"
#include "render/parts_json.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;
using records::Field;

ordered_json day_or_null(const std::optional<Date>& day) { return day ? ordered_json(day->iso()) : ordered_json(nullptr); }

ordered_json fields_value(const app::RecordSheet& one, const Zone& zone, const words::Style& style) {
  ordered_json fields = ordered_json::object();
  for (int i = 0; i < records::field_count; ++i) {
    const auto field = static_cast<Field>(i);
    const bool is_known = records::known(one.record, field);
    fields[std::string(records::word_for(field))] = {{"known", is_known}, {"text", record_value(one.record, field, zone, style)}};
  }
  const auto& r = one.record;
  if (const auto amount = r.used.applied()) {
    if (const auto* mass = std::get_if<Mass>(&*amount))
      fields["amount"]["amount_g"] = tidy(mass->grams());
    else
      fields["amount"]["amount_l"] = tidy(std::get<Volume>(*amount).litres());
  }
  if (r.area) fields["area"]["area_m2"] = tidy(r.area->square_metres());
  if (r.used.growth_stage) fields["growth_stage"]["bbch"] = *r.used.growth_stage;
  fields["crop_code"]["eppo"] = r.crops;
  if (r.placed) {
    fields["location"]["bed"] = r.bed;
    fields["location"]["latitude_deg"] = tidy(r.latitude_deg);
    fields["location"]["longitude_deg"] = tidy(r.longitude_deg);
  }
  if (r.started) fields["started"]["at"] = zone.iso(*r.started);
  fields["ended"]["at"] = zone.iso(r.ended);
  return fields;
}

ordered_json missing_value(const app::RecordsAnswer& answer, const app::RecordSheet& one, const words::Style& style) {
  ordered_json out = ordered_json::object();
  for (const auto rule : answer.rules) {
    ordered_json list = ordered_json::array();
    for (const auto& asked : records::missing(one.record, rule)) {
      const std::string word(records::word_for(asked.field));
      list.push_back({{"field", word},
                      {"section", asked.section},
                      {"where_limited", asked.where_limited},
                      {"do", words::say_key("records.do." + word, style)}});
    }
    out[std::string(records::word_for(rule))] = std::move(list);
  }
  return out;
}

ordered_json due_value(const app::RecordSheet& one, const Zone& zone) {
  ordered_json out = ordered_json::object();
  for (const auto& due : one.due)
    out[std::string(records::word_for(due.rule))] = {
        {"make_by", day_or_null(due.make_by)},
        {"display_by", due.display_by ? ordered_json(zone.iso(*due.display_by)) : ordered_json(nullptr)},
        {"display_until", day_or_null(due.display_until)},
        {"electronic_by", day_or_null(due.electronic_by)},
        {"keep_until", day_or_null(due.keep_until)}};
  return out;
}

ordered_json amendments_value(const app::RecordSheet& one, const Zone& zone) {
  ordered_json out = ordered_json::array();
  for (const auto& a : one.amendments) {
    ordered_json changes = ordered_json::array();
    for (const auto& change : a.changes) changes.push_back({{"field", change.field}, {"before", change.before}, {"after", change.after}});
    out.push_back(
        {{"said", zone.iso(a.said)}, {"by", a.by}, {"reason", a.reason}, {"withdrawn", a.withdrawn}, {"changes", std::move(changes)}});
  }
  return out;
}

}  // namespace

std::string records_json(const app::RecordsAnswer& answer, const words::Style& style) {
  const Zone& zone = answer.stamp.zone;
  ordered_json sheets = ordered_json::array();
  for (const auto& one : answer.sheets)
    sheets.push_back({{"id", one.record.id.text()},
                      {"bed", one.record.bed},
                      {"outside_label", one.record.outside_label},
                      {"not_judged", one.record.not_judged},
                      {"amended", one.record.amended},
                      {"fields", fields_value(one, zone, style)},
                      {"told", ordered_json::parse(app::told_json(one.record.told))},
                      {"despite", one.record.despite},
                      {"missing", missing_value(answer, one, style)},
                      {"due", due_value(one, zone)},
                      {"amendments", amendments_value(one, zone)}});
  return json_text(ordered_json{{"garden", answer.stamp.garden},
                                {"marked", answer.stamp.marked ? ordered_json(*answer.stamp.marked) : ordered_json(nullptr)},
                                {"at", zone.iso(answer.stamp.at)},
                                {"for", answer.asked},
                                {"from", answer.from.iso()},
                                {"to", answer.to.iso()},
                                {"jurisdiction", answer.jurisdiction},
                                {"head", answer.stamp.head.hex()},
                                {"events", answer.stamp.events},
                                {"records", std::move(sheets)}});
}

}  // namespace leafturn::render
