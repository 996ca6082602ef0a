#include "io/weather_csv.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes = fuzz::text_of(data, size);
  for (const auto units : {std::optional<io::UnitsChoice>{}, std::optional{io::UnitsChoice::us}, std::optional{io::UnitsChoice::celsius}}) {
    const auto file = io::read_weather_csv(bytes, "any.csv", units);
    if (!file) {
      fuzz::readable(file.error());
      continue;
    }
    for (const auto& day : file->series.days())
      if (day.complete()) fuzz::require(*day.min <= *day.max, "no day is colder at its warmest");
  }
  // With a clock given, every row of an hourly table is placed.
  io::WeatherReading placed;
  placed.units = io::UnitsChoice::si;
  placed.offset_seconds = -6 * 3600;
  const auto file = io::read_weather_csv(bytes, "any.csv", placed);
  if (!file) {
    fuzz::readable(file.error());
  } else if (file->hourly) {
    for (const auto& hour : file->hourly->rows())
      fuzz::require(weather::impossible_field(hour) == nullptr, "what can't be is left out of the hours");
  }
  return 0;
}
