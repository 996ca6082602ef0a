#pragma once
/// Seasons, hatches and the garden's calendar, as JSON (keys in docs/commands.md and docs/api.md) and as text.

#include <string>
#include <vector>

#include "app/calendar.hpp"
#include "app/hatch.hpp"
#include "app/season.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string season_json(const app::SeasonAnswer& answer, const words::Style& style);
std::string season_text(const app::SeasonAnswer& answer, const words::Style& style);
/// One line a pest.
std::string seasons_json(const std::vector<app::SeasonAnswer>& answers, const words::Style& style);
std::string seasons_text(const std::vector<app::SeasonAnswer>& answers, const words::Style& style);

std::string hatch_json(const app::HatchAnswer& answer, const words::Style& style);
std::string hatch_text(const app::HatchAnswer& answer, const words::Style& style);

/// Every pest of the garden: what comes next (GET /api/seasons).
std::string garden_calendar_json(const app::CalendarAnswer& answer, const words::Style& style);
/// Its only pest, whole (GET /api/seasons/{pest}).
std::string pest_calendar_json(const app::CalendarAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
