#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/weather_view.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

double tenth(Temperature t) { return static_cast<double>(static_cast<long>(t.celsius() * 10.0 + (t.celsius() < 0.0 ? -0.5 : 0.5))) / 10.0; }

ordered_json degrees(const std::optional<Temperature>& t) { return t ? ordered_json(tenth(*t)) : ordered_json(nullptr); }

ordered_json spread(const app::SpreadDay& day) { return {{"low", tenth(day.low)}, {"mid", tenth(day.mid)}, {"high", tenth(day.high)}}; }

}  // namespace

std::string weather_view_json(const app::WeatherView& view, const words::Style& style) {
  const auto& ground = view.ground;
  const auto& described = ground.garden.described;
  ordered_json files = ordered_json::array();
  for (const auto& file : view.files) {
    std::vector<Reason> findings;
    for (const auto& finding : file.findings) findings.push_back(finding.reason);
    files.push_back({{"name", file.name},
                     {"kind", file.issued ? "forecast" : "record"},
                     {"first", day_json(file.first)},
                     {"last", day_json(file.last)},
                     {"days", file.days},
                     {"issued", day_json(file.issued)},
                     {"findings", reasons_json(findings, style)}});
  }
  ordered_json days = ordered_json::array();
  for (const auto& day : view.days)
    days.push_back({{"date", day.date.iso()},
                    {"min_c", degrees(day.min)},
                    {"max_c", degrees(day.max)},
                    {"rain_mm", day.rain ? ordered_json(day.rain->millimetres()) : ordered_json(nullptr)},
                    {"filled", day.filled}});
  ordered_json future = ordered_json::array();
  for (const auto& day : view.future)
    future.push_back({{"date", day.date.iso()}, {"told", day.told}, {"min_c", spread(day.min)}, {"max_c", spread(day.max)}});
  ordered_json usual = ordered_json::array();
  for (const auto& day : view.usual) usual.push_back({{"date", day.date.iso()}, {"min_c", tenth(day.min)}, {"max_c", tenth(day.max)}});
  return json_text(
      ordered_json{{"at", ground.zone.iso(ground.at)},
                   {"day", ground.day.iso()},
                   {"garden", described ? described->name : std::string{}},
                   {"marked", described && described->marked ? ordered_json(*described->marked) : ordered_json(nullptr)},
                   {"future", future_word(ground.future)},
                   {"forecast_last", day_json(ground.forecast_last)},
                   {"weather_last", day_json(ground.weather_last)},
                   {"recorded_first", day_json(view.recorded_first)},
                   {"members", view.members},
                   {"files", files},
                   {"gaps", gaps_json(view.gaps)},
                   {"usual", view.usual.empty() ? ordered_json(nullptr) : ordered_json{{"years", view.usual_years}, {"days", usual}}},
                   {"days", days},
                   {"future_days", future},
                   {"says", reasons_json(view.says, style)}});
}

}  // namespace leafturn::render
