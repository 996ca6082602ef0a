// emergence-table WEATHER LAT LON FROM TO     the tables of docs/readings/emergence-milwaukee.md

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>

#include "io/weather_csv.hpp"
#include "tools/emergence-table/table.hpp"

int main(int count, char** arguments) {
  using namespace leafturn;
  if (count != 6) {
    std::fputs("emergence-table: give WEATHER LAT LON FROM TO, as milwaukee.csv 43.0 -87.9 1991 2025\n", stderr);
    return 2;
  }
  std::ifstream in(arguments[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  const auto file = io::read_weather_csv(bytes, arguments[1], io::UnitsChoice::us);
  if (!file) {
    std::fprintf(stderr, "emergence-table: %s: %s (%s)\n", arguments[1], file.error().code.c_str(), file.error().where.field.c_str());
    return 2;
  }
  const weather::Site site{Angle::degrees(std::atof(arguments[2])), Angle::degrees(std::atof(arguments[3])), Length{}};
  const auto table = emergence::report(emergence::station(file->series, site), std::atoi(arguments[4]), std::atoi(arguments[5]));
  std::fputs(table.c_str(), stdout);
  return 0;
}
