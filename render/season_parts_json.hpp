#pragma once
/// Pieces of JSON that seasons, hatches and calendars share. Only *_json.cpp files include this.

#include <functional>
#include <nlohmann/json.hpp>

#include "app/season.hpp"
#include "core/phenology/calendar.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// How a time of day is written: with clock and offset on the command line, as a day on a page.
using WriteTime = std::function<nlohmann::ordered_json(const std::optional<CivilTime>&)>;
WriteTime as_instants(std::int32_t offset_seconds);
WriteTime as_days();

/// [{"stage", "name", "enter": {p05 …}, "interval": null | {p05: {"early", "late", "members"} …}, "share"}]
nlohmann::ordered_json stages_json(const pest::Dossier& pest, const std::vector<phenology::StageCalendar>& stages, std::size_t members,
                                   const WriteTime& write, const words::Style& style);
nlohmann::ordered_json generation_json(const pest::Dossier& pest, const phenology::GenerationCalendar& generation, std::size_t members,
                                       const WriteTime& write, const words::Style& style);
/// {"code", "text"}
nlohmann::ordered_json biofix_why_json(const phenology::BiofixFound& biofix, const words::Style& style);
/// {"generation", "stage", "name", "mark", "share", "date", "early", "late", "members", "text"}
nlohmann::ordered_json event_json(const pest::Dossier& pest, const phenology::NextEvent& event, const words::Style& style);

/// {"heat": …, "dates": […], "years"}; `days`: with the curve of every day.
nlohmann::ordered_json comparison_json(const pest::Dossier& pest, const app::SeasonComparison& comparison, bool days,
                                       const words::Style& style);

}  // namespace leafturn::render
