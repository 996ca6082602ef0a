#include "io/weather_ghcn.hpp"
#include "tests/fuzz/weather.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes = fuzz::text_of(data, size);
  fuzz::weather_laws(
      [&](const io::WeatherReading& reading) { return io::read_ghcn(bytes, "any.csv", reading, io::WeatherKind::ghcn_rows); });
  return 0;
}
