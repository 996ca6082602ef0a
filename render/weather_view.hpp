#pragma once
/// The garden's weather as JSON (GET /api/weather, docs/api.md).

#include <string>

#include "app/weather_view.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string weather_view_json(const app::WeatherView& view, const words::Style& style);

}  // namespace leafturn::render
