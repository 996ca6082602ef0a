#pragma once
/// What every reader of weather files is asked, with and without what its user could tell beside the file.

#include "io/weather_file.hpp"
#include "tests/fuzz/fuzz.hpp"

namespace leafturn::fuzz {

/// `read(reading)` reads the same bytes each time.
template <class Read>
void weather_laws(Read read) {
  const io::WeatherReading plain;
  io::WeatherReading told;
  told.units = io::UnitsChoice::us;
  told.offset_seconds = -6 * 3600;
  for (const auto* reading : {&plain, static_cast<const io::WeatherReading*>(&told)}) {
    const auto file = read(*reading);
    if (!file) {
      readable(file.error());
      continue;
    }
    require(!file->series.empty(), "a file that was read has days");
    bool complete = false;
    for (const auto& day : file->series.days()) {
      complete = complete || day.complete();
      if (day.complete()) require(*day.min <= *day.max, "no day is colder at its warmest");
    }
    require(complete, "a file that was read has a day with both extremes");
  }
}

}  // namespace leafturn::fuzz
