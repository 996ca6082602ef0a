#pragma once
/// What came of adding a weather file to a garden.

#include <string>

#include "app/fetch_weather.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string weather_added_json(const app::AddedWeather& added, const words::Style& style);
std::string weather_added_text(const app::AddedWeather& added, const words::Style& style);

/// The same keys and sentences, and where it came from: address, unchanged, stale_since.
std::string weather_fetched_json(const app::FetchedWeather& fetched, const words::Style& style);
std::string weather_fetched_text(const app::FetchedWeather& fetched, const words::Style& style);

}  // namespace leafturn::render
