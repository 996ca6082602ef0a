#include <nlohmann/json.hpp>

#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "render/season.hpp"
#include "render/season_parts_json.hpp"
#include "render/season_words.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

/// What every calendar of the garden says of itself.
ordered_json ground_json(const app::CalendarAnswer& answer) {
  const auto& described = answer.garden.described;
  return {{"at", answer.zone.iso(answer.at)},
          {"day", answer.day.iso()},
          {"garden", described ? described->name : std::string{}},
          {"marked", described && described->marked ? ordered_json(*described->marked) : ordered_json(nullptr)},
          {"future", future_word(answer.future)},
          {"forecast_last", day_json(answer.forecast_last)},
          {"weather_last", day_json(answer.weather_last)},
          {"whole_year", answer.whole_year}};
}

ordered_json coming_json(const app::PestCalendar& pest, const app::ComingEvent& coming, const words::Style& style) {
  auto out = event_json(*pest.pest, coming.event, style);
  out["heat_left_c"] = coming.heat_left ? ordered_json(tidy(coming.heat_left->celsius_days())) : ordered_json(nullptr);
  return out;
}

/// `dated`: there are dates · `waiting`: out later than the weather goes, or not begun · `unknown`: nothing can be said without a find.
const char* state_of(const app::PestCalendar& pest) {
  const auto& calendar = pest.calendar;
  if (calendar.biofix.date || !pest.now.empty() || !calendar.overwintered.stages.empty()) return "dated";
  return calendar.biofix.code == "biofix.not_yet" ? "waiting" : "unknown";
}

std::string headline(const app::PestCalendar& pest, const words::Style& style) {
  if (!pest.next.empty()) return capital(event_text(*pest.pest, pest.next.front().event, style));
  if (std::string_view(state_of(pest)) == "dated") return words::say_key("season.nothing_more", style);
  return capital(words::say({pest.calendar.biofix.code, pest.calendar.biofix.facts}, style)) + ".";
}

ordered_json summary_json(const app::PestCalendar& pest, const words::Style& style) {
  const auto& dossier = *pest.pest;
  ordered_json crops = ordered_json::array();
  for (const auto& crop : pest.crops) crops.push_back({{"crop", crop}, {"name", crop_name(crop, style)}});
  ordered_json now = ordered_json::array();
  for (const auto& stand : pest.now)
    now.push_back({{"generation", stand.generation},
                   {"stage", dossier.stages[stand.stage].key},
                   {"name", stage_name(dossier.stages[stand.stage].key, style)},
                   {"share", tidy(stand.share)}});
  return {{"pest", dossier.id},
          {"name", pest_name(dossier, style)},
          {"scientific", dossier.scientific},
          {"crops", crops},
          {"state", state_of(pest)},
          {"headline", headline(pest, style)},
          {"found", day_json(pest.found)},
          {"biofix", day_json(pest.calendar.biofix.date)},
          {"biofix_interval", pest.calendar.biofix_early && pest.calendar.biofix_late
                                  ? ordered_json{{"early", pest.calendar.biofix_early->iso()}, {"late", pest.calendar.biofix_late->iso()}}
                                  : ordered_json(nullptr)},
          {"biofix_why", biofix_why_json(pest.calendar.biofix, style)},
          {"members", pest.calendar.members},
          {"now", now},
          {"next", pest.next.empty() ? ordered_json(nullptr) : coming_json(pest, pest.next.front(), style)}};
}

ordered_json migrant_json(const app::PestCalendar& pest, const words::Style& style) {
  if (!pest.migrant) return nullptr;
  const auto& limit = *pest.pest->migrant_north_of;
  const double degrees = limit.value.degrees();
  return {{"north_of_deg", degrees},
          {"source", limit.source.citation},
          {"known", pest::word_for(limit.source.known)},
          {"text", degrees > 0.0 ? words::say({"season.migrant", {{"limit", Number{degrees, 0}}}}, style)
                                 : words::say_key("season.migrant_everywhere", style)}};
}

ordered_json winter_json(const app::PestCalendar& pest, const words::Style& style) {
  if (!pest.winter_kill) return nullptr;
  const auto& cold = *pest.winter_kill;
  return {{"coldest_c", tidy(cold.coldest.celsius())},
          {"on", cold.on.iso()},
          {"limit_c", tidy(cold.limit.celsius())},
          {"text", words::say({"season.winter_kill", {{"coldest", cold.coldest}, {"on", cold.on}, {"limit", cold.limit}}}, style)}};
}

}  // namespace

std::string garden_calendar_json(const app::CalendarAnswer& answer, const words::Style& style) {
  ordered_json out = ground_json(answer);
  out["pests"] = ordered_json::array();
  for (const auto& pest : answer.pests) out["pests"].push_back(summary_json(pest, style));
  return json_text(out);
}

std::string pest_calendar_json(const app::CalendarAnswer& answer, const words::Style& style) {
  const app::PestCalendar& pest = answer.pests.front();
  ordered_json out = ground_json(answer);
  out.update(summary_json(pest, style));
  ordered_json coming = ordered_json::array();
  for (const auto& one : pest.next) coming.push_back(coming_json(pest, one, style));
  out["coming"] = std::move(coming);
  out["migrant"] = migrant_json(pest, style);
  out["winter_kill"] = winter_json(pest, style);
  out["set"] = pest.pest->set_used.empty() ? ordered_json(nullptr) : ordered_json(pest.pest->set_used);
  const auto& calendar = pest.calendar;
  const auto write = as_days();
  out["overwintered"] = calendar.overwintered.stages.empty()
                            ? ordered_json(nullptr)
                            : generation_json(*pest.pest, calendar.overwintered, calendar.members, write, style);
  out["generations"] = ordered_json::array();
  for (const auto& generation : calendar.generations)
    out["generations"].push_back(generation_json(*pest.pest, generation, calendar.members, write, style));
  out["gaps"] = gaps_json(calendar.gaps);
  out["comparison"] = pest.comparison ? comparison_json(*pest.pest, *pest.comparison, true, style) : ordered_json(nullptr);
  out["ahead"] = pest.comparison ? ordered_json(ahead_text(*pest.comparison, style)) : ordered_json("");
  out["sure"] = words::say_key("season.sure", style);
  return json_text(out);
}

}  // namespace leafturn::render
