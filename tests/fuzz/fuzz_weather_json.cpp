#include "io/weather_forecast_json.hpp"
#include "tests/fuzz/weather.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes = fuzz::text_of(data, size);
  fuzz::weather_laws([&](const io::WeatherReading& reading) { return io::read_forecast_json(bytes, "any.json", reading); });
  return 0;
}
