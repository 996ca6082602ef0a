#pragma once
/// Quantities as people type them: a number and its unit, `50F`, `400 ft2`, `24.3inHg`. A bare number is refused wherever a unit is needed,
/// because the two unit systems would both read it. Units in any case; `gal`, `qt`, `pt` and `floz` are the US liquid measures.
///
/// `field` names the option or column in messages. Errors: `quantity.empty`, `quantity.no_number`, `quantity.no_unit`,
/// `quantity.unknown_unit` (the last two name the units accepted), `quantity.impossible` (below absolute zero, a negative area …).

#include <string>
#include <string_view>

#include "core/base/quantity.hpp"
#include "core/base/result.hpp"

namespace leafturn::io {

Result<Temperature> parse_temperature(std::string_view text, const std::string& field);  ///< C, F, K
Result<Area> parse_area(std::string_view text, const std::string& field);                ///< m2, ha, ft2, acre
Result<Volume> parse_volume(std::string_view text, const std::string& field);            ///< ml, l, gal, qt, pt, floz, tbsp, tsp
Result<Mass> parse_mass(std::string_view text, const std::string& field);                ///< g, kg, oz, lb
Result<Length> parse_length(std::string_view text, const std::string& field);            ///< mm, cm, m, km, in, ft, mi; not negative
Result<Length> parse_elevation(std::string_view text, const std::string& field);         ///< m, ft; −500 m to 9000 m
Result<Speed> parse_speed(std::string_view text, const std::string& field);              ///< m/s, km/h, mph
Result<Pressure> parse_pressure(std::string_view text, const std::string& field);        ///< hPa, mb, mbar, kPa, inHg; 300 to 1200 hPa

/// Decimal degrees, north and east positive: `43.0`, `-105.18`, `43N`, `105.18W`. Errors as above and `quantity.angle_outside`.
Result<Angle> parse_latitude(std::string_view text, const std::string& field);
Result<Angle> parse_longitude(std::string_view text, const std::string& field);

/// A whole number from `least` to `most`. Error: `quantity.whole_number`.
Result<int> parse_whole(std::string_view text, const std::string& field, int least, int most);

}  // namespace leafturn::io
