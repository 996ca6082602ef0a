// spray-year WEATHER LAT LON OFFSET_HOURS     the tables of docs/readings/spray-hours-new-york.md

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>

#include "io/weather_file.hpp"
#include "tools/spray-year/year.hpp"

int main(int count, char** arguments) {
  using namespace leafturn;
  if (count != 5) {
    std::fputs("spray-year: give WEATHER LAT LON OFFSET_HOURS, as nyc.csv 40.8 -73.9 -5\n", stderr);
    return 2;
  }
  std::ifstream in(arguments[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  io::WeatherReading reading;
  reading.units = io::UnitsChoice::us;
  const auto file = io::read_weather(bytes, arguments[1], reading);
  if (!file || !file->hourly) {
    std::fprintf(stderr, "spray-year: %s: no hourly weather to read\n", arguments[1]);
    return 2;
  }
  const weather::Site site{Angle::degrees(std::atof(arguments[2])), Angle::degrees(std::atof(arguments[3])), Length{}};
  const auto offset = static_cast<std::int32_t>(std::atof(arguments[4]) * 3600.0);
  std::fputs(spray_year::report(*file->hourly, site, offset).c_str(), stdout);
  return 0;
}
