// The tables of docs/readings/spray-hours-new-york.md are those of the program that made them.
#include <gtest/gtest.h>

#include "io/weather_file.hpp"
#include "tests/support/data.hpp"
#include "tools/spray-year/year.hpp"

namespace leafturn::spray_year {
namespace {

TEST(NewYork, tables_of_the_reading_are_those_of_the_year) {
  const auto path = test::shared_data("nyc-hourly-2013.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the hourly year of New York in shared/data");
  io::WeatherReading reading;
  reading.units = io::UnitsChoice::us;
  const auto file = io::read_weather(test::read_file(*path), *path, reading);
  ASSERT_TRUE(file && file->hourly);
  const weather::Site site{Angle::degrees(40.8), Angle::degrees(-73.9), Length{}};
  std::string tables = report(*file->hourly, site, -5 * 3600);
  while (!tables.empty() && tables.back() == '\n') tables.pop_back();
  const std::string document = test::read_file(test::source_path("docs/readings/spray-hours-new-york.md"));
  EXPECT_NE(document.find(tables), std::string::npos) << tables;
}

}  // namespace
}  // namespace leafturn::spray_year
