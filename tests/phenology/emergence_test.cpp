// The table of docs/readings/emergence-milwaukee.md, made again.
#include <gtest/gtest.h>

#include <algorithm>

#include "io/weather_csv.hpp"
#include "tests/support/data.hpp"
#include "tools/emergence-table/table.hpp"

namespace leafturn::emergence {
namespace {

const Event& event(std::string_view key) {
  for (const Event& e : events())
    if (e.key == key) return e;
  ADD_FAILURE() << "no event " << key;
  return events().front();
}

weather::DailySeries flat(int days, double celsius, const std::vector<int>& without = {}) {
  std::vector<weather::Day> out;
  for (int i = 0; i < days; ++i) {
    weather::Day day;
    day.date = *Date::from_ymd(2023, 1, 1) + Days{i};
    if (std::find(without.begin(), without.end(), i) == without.end()) day.min = day.max = Temperature::celsius(celsius);
    out.push_back(day);
  }
  return weather::DailySeries::from_days(std::move(out)).value();
}

const weather::Site milwaukee{Angle::degrees(43.0), Angle::degrees(-87.9), Length{}};

TEST(Emergence, a_sum_of_flat_days_is_counted_by_hand) {
  // 13.9 °C gives 10 °C·d a day above 3.9: 200 are full by the end of the twentieth day from 1 January.
  const auto at = station(flat(300, 13.9), milwaukee);
  EXPECT_EQ(reached(event("seedcorn-1"), at, 2023)->iso(), "2023-01-20");
  // 4 °C from 1 February: 230 / 9.9 = 23.2 days in air, 179 / 9.9 = 18.1 in soil, which stands at the air's temperature all winter.
  EXPECT_EQ(reached(event("maggot-air"), at, 2023)->iso(), "2023-02-24");
  EXPECT_EQ(reached(event("maggot-soil"), at, 2023)->iso(), "2023-02-19");
  EXPECT_FALSE(reached(event("potato-beetle-135"), at, 2024)) << "no weather in that year";
}

TEST(Emergence, heat_above_the_cap_does_not_count) {
  // 40 °C is capped to 28.9: 25 °C·d a day, so eight days.
  EXPECT_EQ(reached(event("seedcorn-1"), station(flat(30, 40.0), milwaukee), 2023)->iso(), "2023-01-08");
}

TEST(Emergence, a_long_gap_before_the_event_leaves_the_year_out) {
  EXPECT_FALSE(reached(event("seedcorn-1"), station(flat(300, 13.9, {10, 11, 12, 13, 14}), milwaukee), 2023));
  EXPECT_FALSE(reached(event("maggot-soil"), station(flat(300, 13.9, {40, 41, 42, 43, 44}), milwaukee), 2023));
  EXPECT_TRUE(reached(event("seedcorn-1"), station(flat(300, 13.9, {30, 31, 32, 33, 34}), milwaukee), 2023)) << "it comes after the event";
}

TEST(Emergence, document_is_what_the_tool_prints) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the Milwaukee station file of shared/data");
  const auto file = io::read_weather_csv(test::read_file(*path), *path, io::UnitsChoice::us);
  ASSERT_TRUE(file);
  const std::string printed = report(station(file->series, milwaukee), 1991, 2026);
  const std::string document = test::read_file(test::source_path("docs/readings/emergence-milwaukee.md"));
  EXPECT_NE(document.find(printed), std::string::npos) << "docs/readings/emergence-milwaukee.md no longer holds:\n" << printed;
}

}  // namespace
}  // namespace leafturn::emergence
