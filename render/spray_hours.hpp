#pragma once
/// The hours in which a spray may be done, as JSON (docs/api.md) and as a strip of letters.

#include <string>

#include "app/spray_hours.hpp"
#include "app/spray_start.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string spray_hours_json(const app::SprayHoursAnswer& answer, const words::Style& style);
std::string spray_hours_text(const app::SprayHoursAnswer& answer, const words::Style& style);
std::string spray_start_json(const app::StartAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
