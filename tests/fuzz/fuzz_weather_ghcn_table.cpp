#include "io/weather_ghcn.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes = fuzz::text_of(data, size);
  io::WeatherReading plain;
  io::WeatherReading told;
  told.units = io::UnitsChoice::us;
  told.offset_seconds = -6 * 3600;
  for (const auto* reading : {&plain, &told}) {
    const auto file = io::read_ghcn(bytes, "any.csv", *reading, io::WeatherKind::ghcn_table);
    if (!file) {
      fuzz::readable(file.error());
      continue;
    }
    fuzz::require(!file->series.empty(), "a file that was read has days");
    bool complete = false;
    for (const auto& day : file->series.days()) {
      complete = complete || day.complete();
      if (day.complete()) fuzz::require(*day.min <= *day.max, "no day is colder at its warmest");
    }
    fuzz::require(complete, "a file that was read has a day with both extremes");
  }
  return 0;
}
