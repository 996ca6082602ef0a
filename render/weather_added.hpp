#pragma once
/// What came of adding a weather file to a garden.

#include <string>

#include "app/add_weather.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string weather_added_json(const app::AddedWeather& added, const words::Style& style);
std::string weather_added_text(const app::AddedWeather& added, const words::Style& style);

}  // namespace leafturn::render
