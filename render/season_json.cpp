#include <nlohmann/json.hpp>

#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "render/season.hpp"
#include "render/season_parts_json.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

ordered_json season_value(const app::SeasonAnswer& answer, const words::Style& style) {
  const auto write = as_instants(answer.offset_seconds);
  const auto& calendar = answer.calendar;
  ordered_json generations = ordered_json::array();
  for (const auto& generation : calendar.generations)
    generations.push_back(generation_json(answer.pest, generation, calendar.members, write, style));
  ordered_json next = ordered_json::array();
  for (const auto& event : answer.next) next.push_back(event_json(answer.pest, event, style));
  ordered_json out{{"pest", answer.pest.id},
                   {"name", pest_name(answer.pest, style)},
                   {"year", answer.year},
                   {"at", day_json(answer.at)},
                   {"set", answer.pest.set_used.empty() ? ordered_json(nullptr) : ordered_json(answer.pest.set_used)},
                   {"members", calendar.members},
                   {"biofix", day_json(calendar.biofix.date)},
                   {"biofix_interval", calendar.biofix_early && calendar.biofix_late
                                           ? ordered_json{{"early", calendar.biofix_early->iso()}, {"late", calendar.biofix_late->iso()}}
                                           : ordered_json(nullptr)},
                   {"biofix_why", biofix_why_json(calendar.biofix, style)},
                   {"weather_last", day_json(answer.weather_last)},
                   {"gaps", gaps_json(calendar.gaps)},
                   {"notes", reasons_json(answer.notes, style)},
                   {"overwintered", calendar.overwintered.stages.empty()
                                        ? ordered_json(nullptr)
                                        : generation_json(answer.pest, calendar.overwintered, calendar.members, write, style)},
                   {"generations", generations},
                   {"next", next}};
  if (answer.comparison) out["comparison"] = comparison_json(answer.pest, *answer.comparison, true, style);
  return out;
}

}  // namespace

std::string season_json(const app::SeasonAnswer& answer, const words::Style& style) { return json_text(season_value(answer, style)); }

std::string seasons_json(const std::vector<app::SeasonAnswer>& answers, const words::Style& style) {
  ordered_json pests = ordered_json::array();
  for (const auto& answer : answers) pests.push_back(season_value(answer, style));
  return json_text(ordered_json{{"year", answers.empty() ? ordered_json(nullptr) : ordered_json(answers.front().year)}, {"pests", pests}});
}

std::string hatch_json(const app::HatchAnswer& answer, const words::Style& style) {
  const Zone zone = Zone::fixed(answer.offset_seconds);
  return json_text(ordered_json{
      {"pest", answer.pest.id},
      {"name", pest_name(answer.pest, style)},
      {"stage", answer.pest.stages[answer.stage].key},
      {"age", app::word_for(answer.age)},
      {"found", zone.iso(zone.instant(answer.found))},
      {"members", answer.hatch.members},
      {"resting_share", tidy(answer.hatch.resting.mean)},
      {"weather_last", day_json(answer.weather_last)},
      {"gaps", gaps_json(answer.hatch.gaps)},
      {"notes", reasons_json(answer.notes, style)},
      {"stages", stages_json(answer.pest, answer.hatch.stages, answer.hatch.members, as_instants(answer.offset_seconds), style)}});
}

}  // namespace leafturn::render
