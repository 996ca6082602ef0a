#pragma once
/// Degree-days, development and the sun, as JSON (keys in docs/commands.md) and as text.

#include <string>

#include "app/degree_days.hpp"
#include "app/development.hpp"
#include "app/sun.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string degree_days_json(const app::DegreeDaysAnswer& answer, const words::Style& style);
std::string degree_days_text(const app::DegreeDaysAnswer& answer, const words::Style& style);
std::string development_json(const app::DevelopmentAnswer& answer, const words::Style& style);
std::string development_text(const app::DevelopmentAnswer& answer, const words::Style& style);
std::string sun_json(const app::SunAnswer& answer);
std::string sun_text(const app::SunAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
