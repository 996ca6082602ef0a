#pragma once
/// What a weather file holds and what looks wrong in it, as JSON (keys in docs/commands.md) and as text.

#include <string>

#include "app/weather_check.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string weather_check_json(const app::WeatherCheckAnswer& answer, const words::Style& style);
std::string weather_check_text(const app::WeatherCheckAnswer& answer, const words::Style& style);
std::string weather_show_json(const app::WeatherShowAnswer& answer, const words::Style& style);
std::string weather_show_text(const app::WeatherShowAnswer& answer, const words::Style& style);
std::string weather_hours_json(const app::WeatherHoursAnswer& answer, const words::Style& style);
std::string weather_hours_text(const app::WeatherHoursAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
