#include <cmath>
#include <nlohmann/json.hpp>

#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "render/science.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

double in_unit(Temperature t, bool fahrenheit) { return tidy(fahrenheit ? t.fahrenheit() : t.celsius()); }
double in_unit(DegreeDays d, bool fahrenheit) { return tidy(fahrenheit ? d.fahrenheit_days() : d.celsius_days()); }

template <class T>
ordered_json or_null(const std::optional<T>& value, bool fahrenheit) {
  return value ? ordered_json(in_unit(*value, fahrenheit)) : ordered_json(nullptr);
}

ordered_json notes_json(const std::vector<Reason>& notes, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const auto& note : notes) out.push_back({{"code", note.code}, {"text", words::say(note, style)}});
  return out;
}

}  // namespace

std::string degree_days_json(const app::DegreeDaysAnswer& answer, const words::Style& style) {
  ordered_json days = ordered_json::array();
  for (const auto& row : answer.table.rows) {
    days.push_back({{"date", row.date.iso()},
                    {"tmin", or_null(row.min, answer.fahrenheit)},
                    {"tmax", or_null(row.max, answer.fahrenheit)},
                    {"degree_days", or_null(row.degree_days, answer.fahrenheit)},
                    {"sum", in_unit(row.sum, answer.fahrenheit)},
                    {"filled", row.filled}});
  }
  const auto& upper = answer.thresholds.upper;
  return json_text(ordered_json{{"unit", answer.fahrenheit ? "F" : "C"},
                                {"method", app::word_for(answer.method)},
                                {"cutoff", app::word_for(answer.cutoff)},
                                {"lower", answer.asked.lower},
                                {"lower_c", tidy(answer.thresholds.lower.celsius())},
                                {"upper", answer.asked.upper ? ordered_json(*answer.asked.upper) : ordered_json(nullptr)},
                                {"upper_c", upper ? ordered_json(tidy(upper->celsius())) : ordered_json(nullptr)},
                                {"from", answer.from.iso()},
                                {"to", answer.to.iso()},
                                {"total", in_unit(answer.total, answer.fahrenheit)},
                                {"filled", answer.filled},
                                {"gaps", gaps_json(answer.table.gaps)},
                                {"notes", notes_json(answer.notes, style)},
                                {"days", days}});
}

std::string development_json(const app::DevelopmentAnswer& answer, const words::Style& style) {
  ordered_json rows = ordered_json::array();
  for (const auto& row : answer.rows)
    rows.push_back({{"temp", row.given},
                    {"temp_c", tidy(row.at.celsius())},
                    {"days", row.days ? ordered_json(tidy(*row.days)) : ordered_json(nullptr)}});
  ordered_json sources = ordered_json::array();
  for (const std::size_t index : answer.stages) {
    const auto& stage = answer.pest.stages[index];
    const auto& source = pest::source_of(stage.rate.model);
    ordered_json one{{"stage", stage.key}, {"form", pest::word_for(stage.rate.model)}};
    if (const auto* linear = stage.rate.linear()) {
      one["lower_c"] = tidy(linear->lower.value.celsius());
      one["degree_days_c"] = tidy(linear->constant.value.celsius_days() * stage.rate.share);
    }
    one["source"] = source.citation;
    one["known"] = pest::word_for(source.known);
    sources.push_back(std::move(one));
  }
  return json_text(ordered_json{{"pest", answer.pest.id},
                                {"name", pest_name(answer.pest, style)},
                                {"stage", answer.stage},
                                {"set", answer.pest.set_used.empty() ? ordered_json(nullptr) : ordered_json(answer.pest.set_used)},
                                {"rows", rows},
                                {"rests_on", sources}});
}

std::string sun_json(const app::SunAnswer& answer) {
  const Zone zone = Zone::fixed(answer.offset_seconds);
  const auto time = [&](const std::optional<Instant>& at) { return at ? ordered_json(zone.iso(*at)) : ordered_json(nullptr); };
  return json_text(ordered_json{{"at", zone.iso(answer.at)},
                                {"zenith_deg", answer.position.zenith.degrees()},
                                {"azimuth_deg", answer.position.azimuth.degrees()},
                                {"sunrise", time(answer.day.rise)},
                                {"transit", zone.iso(answer.day.transit)},
                                {"sunset", time(answer.day.set)},
                                {"day_length_h", answer.day.day_length_hours},
                                {"declination_deg", answer.position.declination.degrees()},
                                {"equation_of_time_min", answer.position.equation_of_time_minutes}});
}

}  // namespace leafturn::render
