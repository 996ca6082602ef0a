#pragma once
/// The texts a garden's events point to, read: its cards and its weather files.

#include <map>

#include "app/open_garden.hpp"
#include "app/weather_known.hpp"
#include "core/label/card.hpp"
#include "io/weather_file.hpp"

namespace leafturn::app {

/// Seconds from UTC of the garden's own standard time: the nearest whole-hour meridian, as the diurnal curve has it. 0 without a place.
std::int32_t standard_offset(const garden::Garden& state);
/// Cards by the digest of their text.
Result<std::map<Digest, label::Card>> cards_of(OpenGarden& garden, const garden::Garden& state);
/// A weather file's text as the garden reads it: in the units and of the station named when it was added, else as the file says, else in
/// the garden's own units. Errors: io::read_weather's.
Result<io::WeatherContents> read_added_weather(std::string_view text, const garden::WeatherAdded& added, const garden::Garden& state);
/// In order of adding; a file added again under the same name replaces the earlier one.
Result<std::vector<WeatherFile>> weather_of(OpenGarden& garden, const garden::Garden& state);

}  // namespace leafturn::app
