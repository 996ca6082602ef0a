#include "render/csv_line.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using records::Field;

std::string amendments(const app::RecordSheet& one, const Zone& zone) {
  std::string out;
  for (const auto& a : one.amendments) {
    out += (out.empty() ? "" : " | ") + when(zone, a.said) + " " + a.by + ": " + a.reason;
    for (const auto& change : a.changes) out += "; " + change.field + ": " + change.before + " > " + change.after;
  }
  return out;
}

}  // namespace

std::string records_csv(const app::RecordsAnswer& answer, const words::Style& style) {
  const Zone& zone = answer.stamp.zone;
  const std::string nothing = words::say_key("records.not_recorded", style);
  CsvLine head;
  head.add("id");
  head.add("bed");
  for (int i = 0; i < records::field_count; ++i) head.add(std::string(records::word_for(static_cast<Field>(i))));
  for (const char* more : {"amount_l", "amount_g", "area_m2", "latitude_deg", "longitude_deg", "outside_label"}) head.add(more);
  for (const auto rule : answer.rules) {
    head.add("missing " + std::string(records::word_for(rule)));
    head.add("keep_until " + std::string(records::word_for(rule)));
  }
  head.add("amendments");
  head.add("chain_head");
  std::string out = head.end();
  for (const auto& one : answer.sheets) {
    const auto& r = one.record;
    CsvLine line;
    line.add(r.id.text());
    line.add(r.bed);
    for (int i = 0; i < records::field_count; ++i) line.add(record_value(r, static_cast<Field>(i), zone, style));
    const auto amount = r.used.applied();
    const auto* volume = amount ? std::get_if<Volume>(&*amount) : nullptr;
    const auto* mass = amount ? std::get_if<Mass>(&*amount) : nullptr;
    line.add(volume != nullptr ? plain_number(volume->litres(), 6) : mass != nullptr ? "–" : nothing);
    line.add(mass != nullptr ? plain_number(mass->grams(), 3) : volume != nullptr ? "–" : nothing);
    line.add(r.area ? plain_number(r.area->square_metres(), 3) : nothing);
    line.add(r.placed ? plain_number(r.latitude_deg, 6) : nothing);
    line.add(r.placed ? plain_number(r.longitude_deg, 6) : nothing);
    line.add(r.outside_label ? "true" : r.not_judged ? "not judged" : "false");
    for (std::size_t i = 0; i < answer.rules.size(); ++i) {
      std::string gaps;
      for (const auto& asked : records::missing(r, answer.rules[i]))
        gaps += (gaps.empty() ? "" : " ") + std::string(records::word_for(asked.field));
      line.add(gaps.empty() ? "–" : gaps);
      line.add(one.due[i].keep_until ? one.due[i].keep_until->iso() : nothing);
    }
    const std::string changed = amendments(one, zone);
    line.add(changed.empty() ? "–" : changed);
    line.add(answer.stamp.head.hex());
    out += line.end();
  }
  return out;
}

}  // namespace leafturn::render
