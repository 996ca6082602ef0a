#include "render/table.hpp"
#include "render/weather.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string word(std::string_view key, const words::Style& style) { return words::say_key(key, style); }

std::string paragraph(const Reason& reason, const words::Style& style) { return wrapped(words::say(reason, style), page_width, 0) + "\n"; }

std::string point(const Reason& reason, const words::Style& style) {
  return "- " + wrapped(words::say(reason, style), page_width, 2) + "\n";
}

bool us(const words::Style& style) { return style.units == garden::Units::us; }

std::string temperature(const std::optional<Temperature>& t, const words::Style& style) {
  return t ? fixed(us(style) ? t->fahrenheit() : t->celsius(), 1) : "–";
}

std::string rain(const std::optional<Length>& l, const words::Style& style) {
  return l ? (us(style) ? fixed(l->inches(), 2) : fixed(l->millimetres(), 1)) : "–";
}

/// What the file is, and whose readings they are.
std::string heading(const std::string& path, const io::WeatherContents& contents, const words::Style& style) {
  std::string out = paragraph(
      {"weather_check.title", {{"file", path}, {"kind", Term{"weather.kind." + std::string(app::word_for(contents.kind))}}}}, style);
  const auto& station = contents.station;
  if (!station.id.empty())
    out += paragraph(station.name.empty() ? Reason{"weather_check.station", {{"id", station.id}}}
                                          : Reason{"weather_check.station_named", {{"id", station.id}, {"name", station.name}}},
                     style);
  if (contents.issued) out += paragraph({"weather_check.issued", {{"day", contents.issued->iso()}}}, style);
  return out;
}

std::string wind(const std::optional<Speed>& s, const words::Style& style) {
  return s ? fixed(us(style) ? s->miles_per_hour() : s->kilometres_per_hour(), 0) : "–";
}

std::string span(const std::optional<TemperatureSpan>& d, const words::Style& style) {
  return d ? fixed(us(style) ? d->fahrenheit_degrees() : d->kelvin(), 1) : "–";
}

std::string two_digits(int value) { return (value < 10 ? "0" : "") + std::to_string(value); }

std::string clock_time(const CivilTime& t) {
  return t.date.iso() + " " + two_digits(t.second_of_day / 3600) + ":" + two_digits(t.second_of_day / 60 % 60);
}

std::string years_table(const weather::Quality& quality, const words::Style& style) {
  Table table;
  table.column(word("weather_check.year", style));
  table.column(word("column.days", style), true);
  table.column(word("weather_check.missing", style), true);
  for (const auto& year : quality.years) table.row({std::to_string(year.year), std::to_string(year.days), std::to_string(year.missing)});
  return table.text();
}

}  // namespace

std::string weather_check_text(const app::WeatherCheckAnswer& answer, const words::Style& style) {
  const auto& quality = answer.quality;
  std::string out = heading(answer.path, answer.contents, style);
  out += paragraph({"weather_check.days",
                    {{"days", std::int64_t{quality.days}},
                     {"first", quality.first.iso()},
                     {"last", quality.last.iso()},
                     {"missing", std::int64_t{quality.days - quality.complete}},
                     {"filled", std::int64_t{quality.filled}}}},
                   style);
  if (quality.complete < quality.days) out += "\n" + years_table(quality, style);
  out += "\n";
  for (const auto& note : answer.contents.notes) out += point(note, style);
  for (const auto& finding : quality.findings) out += point(finding.reason, style);
  if (quality.findings.empty()) out += paragraph({"weather_check.nothing", {}}, style);
  return out;
}

std::string weather_show_text(const app::WeatherShowAnswer& answer, const words::Style& style) {
  Table table;
  table.column(word("column.day", style));
  table.column(word("column.tmin", style) + (us(style) ? " °F" : " °C"), true);
  table.column(word("column.tmax", style) + (us(style) ? " °F" : " °C"), true);
  table.column(word("weather_check.rain", style) + (us(style) ? " in" : " mm"), true);
  for (const auto& day : answer.contents.series.between(answer.from, answer.to))
    table.row({day.date.iso(), temperature(day.min, style), temperature(day.max, style), rain(day.rain, style)});
  return heading(answer.path, answer.contents, style) + "\n" + table.text();
}

std::string weather_hours_text(const app::WeatherHoursAnswer& answer, const words::Style& style) {
  const std::string degrees = us(style) ? " °F" : " °C";
  Table table;
  table.column(word("weather_hours.time", style));
  table.column(word("column.temperature", style) + degrees, true);
  table.column(word("weather_hours.dew_point", style) + degrees, true);
  table.column(word("weather_hours.humidity", style) + " %", true);
  table.column(word("weather_hours.wind", style) + (us(style) ? " mph" : " km/h"), true);
  table.column(word("weather_check.rain", style) + (us(style) ? " in" : " mm"), true);
  table.column(word("weather_hours.delta_t", style) + degrees, true);
  for (const auto& [reading, delta_t] : answer.hours)
    table.row({clock_time(answer.clock.civil(reading.at)), temperature(reading.temperature, style), temperature(reading.dew_point, style),
               reading.humidity ? fixed(100.0 * *reading.humidity, 0) : "–", wind(reading.wind, style), rain(reading.rain, style),
               span(delta_t, style)});
  return heading(answer.path, answer.contents, style) + paragraph({"weather_hours.clock", {{"offset", answer.clock.name()}}}, style) +
         "\n" + table.text() + "\n" + paragraph({"weather_hours.about_delta_t", {}}, style);
}

}  // namespace leafturn::render
