#pragma once
/// Flows and volumes per area as people type them: `1.3 L/min`, `16 floz/min`, `30 gal/acre`, `200 L/ha`. Errors as in quantity_text, and
/// `quantity.no_slash`.

#include <string>
#include <string_view>

#include "core/base/result.hpp"
#include "core/spray/rates.hpp"

namespace leafturn::io {

Result<spray::Flow> parse_flow(std::string_view text, const std::string& field);                 ///< a volume / s, min or h
Result<spray::SprayVolume> parse_spray_volume(std::string_view text, const std::string& field);  ///< a volume / m2, ha, ft2 or acre

}  // namespace leafturn::io
