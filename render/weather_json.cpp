#include <cmath>
#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/weather.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

/// Ten decimals: what was read as 48 °F isn't shown with what the way through Celsius leaves of it.
double tidy(double value) { return std::round(value * 1e10) / 1e10; }

ordered_json celsius(const std::optional<Temperature>& t) { return t ? ordered_json(tidy(t->celsius())) : ordered_json(nullptr); }
ordered_json millimetres(const std::optional<Length>& l) { return l ? ordered_json(tidy(l->millimetres())) : ordered_json(nullptr); }

template <class Quantity, class Read>
ordered_json or_null(const std::optional<Quantity>& value, const Read& read) {
  return value ? ordered_json(tidy(read(*value))) : ordered_json(nullptr);
}

ordered_json notes_json(const std::vector<Reason>& notes, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const auto& note : notes) out.push_back({{"code", note.code}, {"text", words::say(note, style)}});
  return out;
}

/// What every answer about a weather file begins with.
ordered_json heading(const std::string& path, const io::WeatherContents& contents) {
  const auto& station = contents.station;
  const auto degrees = [](Angle a) { return a.degrees(); };
  return {{"file", path},
          {"kind", app::word_for(contents.kind)},
          {"station",
           {{"id", station.id},
            {"name", station.name},
            {"latitude_deg", or_null(station.latitude, degrees)},
            {"longitude_deg", or_null(station.longitude, degrees)},
            {"elevation_m", or_null(station.elevation, [](Length l) { return l.metres(); })}}},
          {"issued", contents.issued ? ordered_json(contents.issued->iso()) : ordered_json(nullptr)}};
}

}  // namespace

std::string weather_check_json(const app::WeatherCheckAnswer& answer, const words::Style& style) {
  const auto& quality = answer.quality;
  ordered_json years = ordered_json::array();
  for (const auto& year : quality.years) years.push_back({{"year", year.year}, {"days", year.days}, {"missing", year.missing}});
  ordered_json gaps = ordered_json::array();
  for (const auto& gap : quality.gaps) gaps.push_back({{"first", gap.first.iso()}, {"last", gap.last.iso()}, {"days", gap.length().count}});
  ordered_json flagged = ordered_json::array();
  for (const auto& reading : answer.contents.flagged)
    flagged.push_back({{"date", reading.date.iso()}, {"element", reading.element}, {"flag", std::string(1, reading.flag)}});
  ordered_json findings = ordered_json::array();
  for (const auto& finding : quality.findings)
    findings.push_back({{"code", finding.reason.code},
                        {"first", finding.first.iso()},
                        {"last", finding.last.iso()},
                        {"text", words::say(finding.reason, style)}});
  ordered_json out = heading(answer.path, answer.contents);
  out.update(ordered_json{{"first", quality.first.iso()},
                          {"last", quality.last.iso()},
                          {"days", quality.days},
                          {"complete", quality.complete},
                          {"filled", quality.filled},
                          {"years", years},
                          {"gaps", gaps},
                          {"flagged", flagged},
                          {"findings", findings},
                          {"notes", notes_json(answer.contents.notes, style)}});
  return json_text(out);
}

std::string weather_show_json(const app::WeatherShowAnswer& answer, const words::Style& style) {
  ordered_json days = ordered_json::array();
  for (const auto& day : answer.contents.series.between(answer.from, answer.to))
    days.push_back(
        {{"date", day.date.iso()}, {"tmin_c", celsius(day.min)}, {"tmax_c", celsius(day.max)}, {"rain_mm", millimetres(day.rain)}});
  ordered_json out = heading(answer.path, answer.contents);
  out.update(ordered_json{
      {"from", answer.from.iso()}, {"to", answer.to.iso()}, {"days", days}, {"notes", notes_json(answer.contents.notes, style)}});
  return json_text(out);
}

std::string weather_hours_json(const app::WeatherHoursAnswer& answer, const words::Style& style) {
  const auto kmh = [](Speed s) { return s.kilometres_per_hour(); };
  ordered_json hours = ordered_json::array();
  for (const auto& [reading, delta_t] : answer.hours)
    hours.push_back({{"time", answer.clock.iso(reading.at)},
                     {"temperature_c", celsius(reading.temperature)},
                     {"dew_point_c", celsius(reading.dew_point)},
                     {"humidity_percent", or_null(reading.humidity, [](double share) { return 100.0 * share; })},
                     {"wind_kmh", or_null(reading.wind, kmh)},
                     {"gust_kmh", or_null(reading.gust, kmh)},
                     {"wind_from_deg", or_null(reading.wind_from, [](Angle a) { return a.degrees(); })},
                     {"rain_mm", millimetres(reading.rain)},
                     {"pressure_hpa", or_null(reading.pressure, [](Pressure p) { return p.hectopascals(); })},
                     {"delta_t_k", or_null(delta_t, [](TemperatureSpan d) { return d.kelvin(); })}});
  ordered_json out = heading(answer.path, answer.contents);
  out.update(ordered_json{
      {"from", answer.from.iso()}, {"to", answer.to.iso()}, {"hours", hours}, {"notes", notes_json(answer.contents.notes, style)}});
  return json_text(out);
}

}  // namespace leafturn::render
