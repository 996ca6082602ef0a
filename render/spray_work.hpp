#pragma once
/// Calibration and mixing, as JSON (keys in docs/commands.md) and as text.

#include <string>

#include "app/spray_work.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string calibrate_json(const app::CalibrateAnswer& answer);
std::string calibrate_text(const app::CalibrateAnswer& answer, const words::Style& style);
std::string mix_json(const app::MixAnswer& answer, const words::Style& style);
std::string mix_text(const app::MixAnswer& answer, const words::Style& style);

/// `2 × the 20 mL syringe full, then 7 mL in it`: how a dose is measured out.
std::string reading_text(const spray::Reading& reading, const words::Style& style);

}  // namespace leafturn::render
