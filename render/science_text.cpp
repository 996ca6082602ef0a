#include <fmt/format.h>

#include "render/names.hpp"
#include "render/science.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string word(std::string_view key, const words::Style& style) { return words::say_key(key, style); }

std::string paragraph(const Reason& reason, const words::Style& style) { return wrapped(words::say(reason, style), page_width, 0) + "\n"; }

std::string gap_lines(const std::vector<weather::Gap>& gaps, const words::Style& style) {
  std::string out;
  for (const auto& gap : gaps)
    out +=
        paragraph({"science.gap", {{"first", gap.first.iso()}, {"last", gap.last.iso()}, {"n", std::int64_t{gap.length().count}}}}, style);
  return out;
}

std::string clock(const std::optional<Instant>& at, const Zone& zone) {
  if (!at) return "–";
  const CivilTime civil = zone.civil(*at);
  return fmt::format("{:02}:{:02}:{:02}", civil.second_of_day / 3600, civil.second_of_day / 60 % 60, civil.second_of_day % 60);
}

}  // namespace

std::string degree_days_text(const app::DegreeDaysAnswer& answer, const words::Style& style) {
  const bool f = answer.fahrenheit;
  const auto temperature = [&](const std::optional<Temperature>& t) {
    return t ? fixed(f ? t->fahrenheit() : t->celsius(), 1) : std::string("–");
  };
  const auto heat = [&](DegreeDays d) { return fixed(f ? d.fahrenheit_days() : d.celsius_days(), 2); };
  const std::string unit = f ? "°F" : "°C";

  std::vector<Fact> facts{{"method", Term{"degree_days.method." + std::string(app::word_for(answer.method))}},
                          {"cutoff", Term{"degree_days.cutoff." + std::string(app::word_for(answer.cutoff))}},
                          {"lower", answer.asked.lower},
                          {"upper", answer.asked.upper.value_or("–")},
                          {"unit", unit},
                          {"total", heat(answer.total)},
                          {"days", static_cast<std::int64_t>(answer.table.rows.size())},
                          {"filled", static_cast<std::int64_t>(answer.filled)},
                          {"from", answer.from.iso()},
                          {"to", answer.to.iso()}};
  std::string out = paragraph({answer.asked.upper ? "degree_days.title_two" : "degree_days.title_one", facts}, style) + "\n";
  Table table;
  table.column(word("column.day", style));
  table.column(word("column.tmin", style) + " " + unit, true);
  table.column(word("column.tmax", style) + " " + unit, true);
  table.column(word("column.degree_days", style), true);
  table.column(word("column.sum", style), true);
  table.column("");
  for (const auto& row : answer.table.rows)
    table.row({row.date.iso(), temperature(row.min), temperature(row.max), row.degree_days ? heat(*row.degree_days) : "–", heat(row.sum),
               row.filled ? word("degree_days.filled", style) : ""});
  out += table.text() + "\n" + paragraph({"degree_days.total", facts}, style) + gap_lines(answer.table.gaps, style);
  return out + paragraph({"degree_days.sure", facts}, style);
}

std::string development_text(const app::DevelopmentAnswer& answer, const words::Style& style) {
  const std::string stage = answer.stage == "egg-adult" ? word("development.egg_adult", style) : stage_name(answer.stage, style);
  std::string out = capital(words::say({"development.title", {{"pest", pest_name(answer.pest, style)}, {"stage", stage}}}, style)) + "\n\n";
  Table table;
  table.column(word("column.temperature", style), true);
  table.column(word("column.days", style), true);
  for (const auto& row : answer.rows) table.row({row.given, row.days ? fixed(*row.days, 1) : word("development.never", style)});
  out += table.text() + "\n";
  for (const auto& set : answer.pest.sets)
    if (set.id == answer.pest.set_used) out += paragraph({"development.set", {{"set", set.id}, {"population", set.population}}}, style);
  bool fitted = false;
  bool bent = false;
  for (const std::size_t index : answer.stages) {
    const auto& source = pest::source_of(answer.pest.stages[index].rate.model);
    fitted = fitted || source.known == pest::Known::fitted;
    bent = bent || answer.pest.stages[index].rate.linear() == nullptr;
    out += wrapped(capital(stage_name(answer.pest.stages[index].key, style)) + ": " + source.citation + " (" +
                       phrase("known." + std::string(pest::word_for(source.known)), pest::word_for(source.known), style) + ")",
                   page_width, 2) +
           "\n";
  }
  const char* sure = fitted ? "development.sure_fitted" : "development.sure";
  if (bent) sure = fitted ? "development.sure_curve_fitted" : "development.sure_curve";
  return out + paragraph({sure, {}}, style);
}

std::string sun_text(const app::SunAnswer& answer, const words::Style& style) {
  const Zone zone = Zone::fixed(answer.offset_seconds);
  std::string out =
      words::say({"sun.title", {{"at", zone.iso(answer.at)}, {"lat", answer.asked.latitude}, {"lon", answer.asked.longitude}}}, style) +
      "\n\n";
  const auto line = [&](const char* key, const std::string& value) { out += "  " + padded(word(key, style), 24) + value + "\n"; };
  line("sun.zenith", fixed(answer.position.zenith.degrees(), 4) + "°");
  line("sun.azimuth", fixed(answer.position.azimuth.degrees(), 4) + "°");
  line("sun.rise", clock(answer.day.rise, zone));
  line("sun.noon", clock(answer.day.transit, zone));
  line("sun.set", clock(answer.day.set, zone));
  line("sun.day_length", fixed(answer.day.day_length_hours, 2) + " h");
  out += "\n";
  if (!answer.day.rise) out += paragraph({answer.day.day_length_hours > 12.0 ? "sun.polar_day" : "sun.polar_night", {}}, style);
  return out + paragraph({"sun.sure", {}}, style);
}

}  // namespace leafturn::render
