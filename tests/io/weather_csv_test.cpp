#include "io/weather_csv.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "tests/io/weather_reading.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

using test::check_row;
using test::From;

// ---- broken files ----

struct Broken {
  const char* file;
  const char* code;
  int line;
  const char* field;
};

constexpr Broken broken[] = {
    {"duplicate_date", "weather.duplicate_date", 4, "date"},
    {"max_below_min", "weather.min_above_max", 3, "TMAX (C)"},
    {"text_in_number", "weather.not_a_number", 3, "tmax_c"},
    {"unit_in_cell", "weather.not_a_number", 3, "tmax_c"},
    {"impossible_250", "weather.impossible", 2, "tmax_c"},
    {"negative_rain", "weather.impossible", 2, "rain_mm"},
    {"nul_byte", "csv.not_text", 3, ""},
    {"not_utf8", "csv.not_text", 3, ""},
    {"row_too_long", "csv.row_length", 3, ""},
    {"row_too_short", "csv.row_length", 3, ""},
    {"open_quote", "csv.quote", 2, ""},
    {"same_column_twice", "csv.duplicate_column", 1, "TMAX_C"},
    {"no_header", "weather.no_column", 1, "date"},
    {"no_minimum", "weather.no_column", 1, "tmin"},
    {"empty", "csv.empty", 0, ""},
    {"header_only", "weather.empty", 0, ""},
    {"nothing_recorded", "weather.no_readings", 0, ""},
    {"no_unit", "weather.units_needed", 1, "TMAX"},
    {"no_such_day", "weather.bad_date", 3, "date"},
    {"american_date", "weather.bad_date", 2, "date"},
    {"wrong_digit_in_year", "weather.span_too_long", 0, "date"},
    {"issued_differs", "weather.issued_differs", 3, "issued"},
    {"issued_missing", "weather.bad_date", 2, "issued"},
    {"two_stations", "weather.several_stations", 4, "location"},
    {"hour_twice", "weather.duplicate_time", 3, "time_hour"},
    {"bad_hour", "weather.bad_time", 3, "time_hour"},
};

// The other forms: GHCN-Daily, forecasts and loggers.
constexpr Broken broken_forms[] = {
    {"cut_short.dly", "weather.ghcn_line", 2, "TMIN"},
    {"too_long.dly", "weather.ghcn_line", 1, "TMAX"},
    {"month_13.dly", "weather.bad_date", 2, "TMIN"},
    {"february_30.dly", "weather.bad_date", 1, "TMAX"},
    {"letters.dly", "weather.not_a_number", 1, "TMAX"},
    {"element_twice.dly", "weather.duplicate_reading", 3, "TMIN"},
    {"two_stations.dly", "weather.several_stations", 3, "ID"},
    {"impossible.dly", "weather.impossible", 1, "TMAX"},
    {"min_above_max.dly", "weather.min_above_max", 2, "TMIN"},
    {"no_minimum.dly", "weather.no_readings", 0, ""},
    {"other_text.dly", "weather.ghcn_line", 3, ""},
    {"negative_rain.dly", "weather.impossible", 3, "PRCP"},
    {"rain_only.dly", "weather.no_readings", 0, ""},
    {"ghcn_rows_row_short.csv", "weather.ghcn_row", 3, ""},
    {"ghcn_rows_row_long.csv", "weather.ghcn_row", 3, ""},
    {"ghcn_rows_day_32.csv", "weather.bad_date", 3, "DATE"},
    {"ghcn_rows_value_text.csv", "weather.not_a_number", 3, "TMAX"},
    {"ghcn_rows_value_decimal.csv", "weather.not_a_number", 3, "TMAX"},
    {"ghcn_rows_time_2561.csv", "weather.bad_time", 3, "OBS_TIME"},
    {"ghcn_rows_long_flag.csv", "weather.ghcn_row", 3, "flags"},
    {"ghcn_rows_reading_twice.csv", "weather.duplicate_reading", 3, "TMAX"},
    {"ghcn_rows_station_name.csv", "weather.ghcn_row", 3, "ID"},
    {"ghcn_rows_hot_row.csv", "weather.impossible", 1, "TMAX"},
    {"ghcn_rows_element_name.csv", "weather.ghcn_row", 3, "ELEMENT"},
    {"ghcn_table_tenths_or_degrees.csv", "weather.tenths_or_degrees", 1, "TMAX"},
    {"ghcn_table_decimals.csv", "weather.units_needed", 1, "TMAX"},
    {"ghcn_table_attributes.csv", "weather.ghcn_attributes", 3, "TMAX_ATTRIBUTES"},
    {"ghcn_table_bad_day.csv", "weather.bad_date", 3, "DATE"},
    {"ghcn_table_text.csv", "weather.not_a_number", 3, "TMAX"},
    {"ghcn_table_day_twice.csv", "weather.duplicate_reading", 3, "TMAX"},
    {"ghcn_table_two_stations.csv", "weather.several_stations", 3, "STATION"},
    {"ghcn_table_no_minimum.csv", "weather.no_column", 1, "TMIN"},
    {"ghcn_table_row_short.csv", "csv.row_length", 3, ""},
    {"ghcn_table_header_only.csv", "weather.no_readings", 0, ""},
    {"ghcn_table_min_above_max.csv", "weather.min_above_max", 2, "TMIN"},
    {"grid_unit.json", "weather.forecast_unit", 0, "properties.temperature.uom"},
    {"grid_interval.json", "weather.forecast_time", 0, "properties.temperature.values[0].validTime"},
    {"grid_no_interval.json", "weather.forecast_time", 0, "properties.temperature.values[0].validTime"},
    {"grid_no_offset.json", "weather.forecast_time", 0, "properties.temperature.values[0].validTime"},
    {"grid_overlap.json", "weather.forecast_overlap", 0, "properties.temperature.values[1].validTime"},
    {"grid_text_value.json", "weather.forecast_field", 0, "properties.temperature.values[0].value"},
    {"grid_hot.json", "weather.impossible", 0, "properties.temperature.values[0].value"},
    {"grid_no_values.json", "weather.forecast_field", 0, "properties.temperature.values"},
    {"grid_no_temperature.json", "weather.forecast_field", 0, "properties.temperature"},
    {"grid_one_hour.json", "weather.no_whole_day", 0, ""},
    {"grid_update_time.json", "weather.forecast_time", 0, "properties.updateTime"},
    {"grid_rain_unit.json", "weather.forecast_unit", 0, "properties.quantitativePrecipitation.uom"},
    {"json_cut.json", "weather.not_json", 1, ""},
    {"json_other.json", "weather.forecast_form", 0, ""},
    {"json_list.json", "weather.forecast_form", 0, ""},
    {"arrays_lengths.json", "weather.forecast_lengths", 0, "hourly.temperature"},
    {"arrays_no_unit.json", "weather.forecast_field", 0, "hourly_units.temperature"},
    {"arrays_unit.json", "weather.forecast_unit", 0, "hourly_units.temperature"},
    {"arrays_time.json", "weather.forecast_time", 0, "hourly.time[1]"},
    {"arrays_time_number.json", "weather.forecast_field", 0, "hourly.time[0]"},
    {"arrays_time_back.json", "weather.forecast_overlap", 0, "hourly.time[1]"},
    {"arrays_text.json", "weather.forecast_field", 0, "hourly.temperature[1]"},
    {"arrays_cold.json", "weather.impossible", 0, "hourly.temperature[1]"},
    {"arrays_no_times.json", "weather.forecast_field", 0, "hourly.time"},
    {"arrays_no_temperature.json", "weather.forecast_field", 0, "hourly.temperature_2m"},
    {"arrays_rain_unit.json", "weather.forecast_unit", 0, "hourly_units.precipitation"},
    {"arrays_issued.json", "weather.forecast_time", 0, "issued"},
    {"arrays_offset.json", "weather.forecast_field", 0, "utc_offset_seconds"},
    {"logger_no_unit.csv", "weather.units_needed", 1, "Temp"},
    {"logger_two_thermometers.csv", "weather.two_thermometers", 1, "Temp B (°C)"},
    {"logger_bad_time.csv", "weather.bad_time", 2, "Date Time"},
    {"logger_day_only.csv", "weather.bad_time", 2, "Date Time"},
    {"logger_short_year.csv", "weather.bad_time", 2, "Date Time"},
    {"logger_day_or_month.csv", "weather.day_or_month", 2, "Date Time"},
    {"logger_both_orders.csv", "weather.day_or_month", 2, "Date Time"},
    {"logger_thousands.csv", "weather.not_a_number", 2, "Temp (°C)"},
    {"logger_hot.csv", "weather.impossible", 2, "Temp (°C)"},
    {"logger_time_twice.csv", "weather.duplicate_time", 26, "Date Time"},
    {"logger_six_hours.csv", "weather.too_sparse", 0, ""},
    {"logger_half_day.csv", "weather.no_whole_day", 0, ""},
    {"logger_header_only.csv", "weather.empty", 0, ""},
    {"logger_row_long.csv", "csv.row_length", 2, ""},
};

void expect_refused(const Broken& b, const std::string& name) {
  const auto read = read_weather(test::read_file(test::source_path("tests/io/broken/weather/" + name)), name);
  ASSERT_FALSE(read) << name;
  EXPECT_EQ(read.error().code, b.code) << name;
  EXPECT_EQ(read.error().where.file, name);
  EXPECT_EQ(read.error().where.line, b.line) << name;
  EXPECT_EQ(read.error().where.field, b.field) << name;
  EXPECT_EQ(read.error().kind, ErrorKind::bad_input);
}

TEST(BrokenWeatherFiles, AreRefusedWithCodeLineAndField) {
  for (const Broken& b : broken) expect_refused(b, std::string(b.file) + ".csv");
  for (const Broken& b : broken_forms) expect_refused(b, b.file);
}

TEST(BrokenWeatherFiles, EveryOneIsListedHere) {
  std::set<std::string> listed;
  for (const Broken& b : broken) listed.insert(std::string(b.file) + ".csv");
  for (const Broken& b : broken_forms) listed.insert(b.file);
  std::set<std::string> there;
  for (const auto& entry : std::filesystem::directory_iterator(test::source_path("tests/io/broken/weather")))
    there.insert(entry.path().filename().string());
  EXPECT_EQ(there, listed);
}

// ---- headers and units ----

TEST(WeatherCsv, UnitsFromTheHeaderInManySpellings) {
  for (const char* header : {"date,tmax_c,tmin_c", "DATE,TMAX (C),TMIN (C)", "Date,temp_max_c,temp_min_c",
                             "date,Max Temp (°C),Min Temp (°C)", "date,t_max_celsius,t_min_degC", "date,tmax.c,tmin.c"}) {
    const WeatherContents file = good(std::string(header) + "\n2025-05-01,20,10\n");
    ASSERT_FALSE(file.series.empty()) << header;
    EXPECT_NEAR(file.series.days()[0].max->celsius(), 20.0, 1e-12) << header;
    EXPECT_TRUE(file.notes.empty());
  }
  EXPECT_NEAR(good("date,tmax_f,tmin_f\n2025-05-01,68,50\n").series.days()[0].max->celsius(), 20.0, 1e-12);
}

TEST(WeatherCsv, SaidUnitsOverrideWithANote) {
  const WeatherContents file = good("date,tmax_c,tmin_c\n2025-05-01,68,50\n", UnitsChoice::fahrenheit);
  EXPECT_NEAR(file.series.days()[0].min->celsius(), 10.0, 1e-12);
  EXPECT_TRUE(has_note(file, "weather.units_overridden"));
}

TEST(WeatherCsv, TheColumnThatSaysItsUnitIsPreferred) {
  const char* text = "date,TMAX,TMIN,TMAX_C,TMIN_C\n2025-05-01,68,50,20,10\n";
  const WeatherContents file = good(text);
  EXPECT_NEAR(file.series.days()[0].max->celsius(), 20.0, 1e-12);
  EXPECT_TRUE(has_note(file, "weather.column_ignored"));
  EXPECT_NEAR(good(text, UnitsChoice::fahrenheit).series.days()[0].max->celsius(), 20.0, 1e-12)
      << "with F said, the column without a unit is the one meant";
}

TEST(WeatherCsv, RainNeedsAKnownUnit) {
  const char* text = "date,TMAX,TMIN,PRCP\n2025-05-01,28,20,1\n";
  EXPECT_NEAR(good(text, UnitsChoice::us).series.days()[0].rain->millimetres(), 25.4, 1e-9);
  EXPECT_NEAR(good(text, UnitsChoice::si).series.days()[0].rain->millimetres(), 1.0, 1e-9);
  const WeatherContents unknown = good(text, UnitsChoice::fahrenheit);
  EXPECT_FALSE(unknown.series.days()[0].rain);
  EXPECT_TRUE(has_note(unknown, "weather.rain_unit_unknown"));
  EXPECT_NEAR(good("date,tmax_c,tmin_c,rain_in\n2025-05-01,20,10,0.5\n").series.days()[0].rain->millimetres(), 12.7, 1e-9);
}

TEST(WeatherCsv, RainColumnsThatDisagreeAreLeftOut) {
  const WeatherContents wrong = good("date,tmax_c,tmin_c,PRCP_MM,PRCP\n2025-05-01,20,10,58,0.228\n2025-05-02,20,10,20,0.0787\n");
  EXPECT_TRUE(has_note(wrong, "weather.rain_columns_disagree"));
  EXPECT_FALSE(wrong.series.days()[0].rain);
  const WeatherContents right = good("date,tmax_c,tmin_c,PRCP_MM,PRCP\n2025-05-01,20,10,5.8,0.228\n2025-05-02,20,10,2.0,0.0787\n");
  EXPECT_FALSE(has_note(right, "weather.rain_columns_disagree"));
  EXPECT_NEAR(right.series.days()[0].rain->millimetres(), 5.8, 1e-9);
}

TEST(WeatherCsv, RowsOutOfOrderAreSortedWithANote) {
  const WeatherContents file = good("date,tmax_c,tmin_c\n2025-05-03,20,10\n2025-05-01,20,10\n2025-05-02,20,10\n");
  EXPECT_EQ(file.series.days().size(), 3U);
  EXPECT_TRUE(file.series.gaps().empty());
  ASSERT_TRUE(has_note(file, "weather.sorted"));
}

TEST(WeatherCsv, MissingMarksAndDateForms) {
  const WeatherContents file =
      good("date,tmax_c,tmin_c\n2025/05/01,20,10\n2025-05-02 00:00,NA,9\n2025-05-03T00:00:00,20,-9999\n2025-05-05,20,\n2025-05-06,21,1\n");
  EXPECT_EQ(file.series.days().size(), 6U);
  ASSERT_EQ(file.series.gaps().size(), 1U);
  EXPECT_EQ(file.series.gaps()[0].length(), Days{4});
  EXPECT_TRUE(file.series.find(day(2025, 5, 2))->min);
}

TEST(WeatherCsv, ForecastsSayWhenTheyWereMade) {
  const WeatherContents file = good("issued,date,tmax_c,tmin_c\n2025-05-01,2025-05-02,20,10\n2025-05-01,2025-05-03,20,10\n");
  EXPECT_EQ(file.issued, day(2025, 5, 1));
  EXPECT_FALSE(good("date,tmax_c,tmin_c\n2025-05-02,20,10\n").issued);
}

TEST(WeatherCsv, OneStationOfSeveralCanBeChosen) {
  const std::string text = test::read_file(test::source_path("tests/io/broken/weather/two_stations.csv"));
  WeatherReading reading;
  reading.station = "Valley";
  const auto valley = read_weather_csv(text, "w.csv", reading);
  ASSERT_TRUE(valley);
  EXPECT_NEAR(valley->series.days()[0].max->celsius(), 22.0, 1e-12);
  reading.station = "Shore";
  const auto shore = read_weather_csv(text, "w.csv", reading);
  ASSERT_FALSE(shore);
  EXPECT_EQ(shore.error().code, "weather.no_such_station");
  const auto none = read_weather_csv("date,tmax_c,tmin_c\n2025-05-02,20,10\n", "w.csv", reading);
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().code, "weather.no_such_station");
}

TEST(ParseUnits, FourWords) {
  EXPECT_EQ(parse_units("F"), UnitsChoice::fahrenheit);
  EXPECT_EQ(parse_units("C"), UnitsChoice::celsius);
  EXPECT_EQ(parse_units("us"), UnitsChoice::us);
  EXPECT_EQ(parse_units("si"), UnitsChoice::si);
  EXPECT_FALSE(parse_units("K"));
  EXPECT_FALSE(parse_units(""));
}

// ---- hourly files ----

std::string hours(int from, int to, int swing) {
  std::string text;
  for (int h = from; h < to; ++h) {
    const Instant t = *Instant::parse("2025-05-01T00:00Z") + Duration::hours(h);
    text += t.iso_utc() + "," + std::to_string(10 + (h % 24 == swing ? 15 : 0)) + "\n";
  }
  return text;
}

TEST(HourlyWeatherCsv, DaysAreCutAtTheStationsMidnight) {
  // 25 °C at 02:00 UTC is the evening before at UTC−5.
  const std::string text = "time_hour,temp_c\n" + hours(0, 72, 2);
  const WeatherContents utc = good(text);
  EXPECT_TRUE(has_note(utc, "weather.hourly_days_utc"));
  EXPECT_EQ(utc.series.days().size(), 3U);
  WeatherReading reading;
  reading.offset_seconds = -5 * 3600;
  const auto local = read_weather_csv(text, "w.csv", reading);
  ASSERT_TRUE(local);
  EXPECT_TRUE(has_note(*local, "weather.hourly_days_at_offset"));
  EXPECT_TRUE(has_note(*local, "weather.hours_missing"));
  ASSERT_EQ(local->series.days().size(), 4U);
  EXPECT_EQ(local->series.first(), day(2025, 4, 30));
  EXPECT_FALSE(local->series.days()[0].complete()) << "five hours are no day";
  EXPECT_TRUE(local->series.days()[1].complete());
  EXPECT_NEAR(local->series.days()[1].max->celsius(), 25.0, 1e-12) << "21:00 local";
}

TEST(HourlyWeatherCsv, BareTimesAreTheStationsOwn) {
  std::string text = "time,temp_f,rain_in\n";
  for (int h = 0; h < 24; ++h)
    text += "2025-05-01 " + std::string(h < 10 ? "0" : "") + std::to_string(h) + ":00," + std::to_string(50 + h) + ",0.1\n";
  const WeatherContents file = good(text);
  ASSERT_EQ(file.series.days().size(), 1U);
  EXPECT_NEAR(file.series.days()[0].min->fahrenheit(), 50.0, 1e-9);
  EXPECT_NEAR(file.series.days()[0].max->fahrenheit(), 73.0, 1e-9);
  EXPECT_NEAR(file.series.days()[0].rain->inches(), 2.4, 1e-9);
  EXPECT_FALSE(has_note(file, "weather.hourly_days_utc"));
}

// ---- real files ----

const char* const ghcn = "NOAA Global Historical Climatology Network – Daily; counted by awk";

void count_row(const char* id, const std::string& what, const char* source, double expected, double got) {
  check_row({std::string("weather.file.") + id, what, source, "derived", From::independent, expected, 0.0, ""}, got);
}

TEST(RealWeatherFiles, MilwaukeeDaily) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  const std::string bytes = test::read_file(*path);
  const auto without = read_weather_csv(bytes, "milwaukee.csv");
  ASSERT_FALSE(without);
  EXPECT_EQ(without.error().code, "weather.units_needed");
  EXPECT_EQ(without.error().where.field, "TMAX");
  const WeatherContents file = good(bytes, UnitsChoice::us);
  EXPECT_TRUE(file.notes.empty());
  count_row("milwaukee.days", "Milwaukee 1991–2026: days in the file", ghcn, 13015, static_cast<double>(file.series.days().size()));
  const auto gaps = file.series.gaps();
  EXPECT_TRUE(gaps.empty());
  const auto hottest =
      std::max_element(file.series.days().begin(), file.series.days().end(), [](const auto& a, const auto& b) { return *a.max < *b.max; });
  check_row(
      {"weather.file.milwaukee.hottest", "Milwaukee 1991–2026: highest maximum", ghcn, "derived", From::independent, 102.92, 1e-9, "°F"},
      hottest->max->fahrenheit());
  double mean = 0.0;
  for (const auto& d : file.series.days()) mean += midpoint(*d.min, *d.max).fahrenheit() / static_cast<double>(file.series.days().size());
  check_row({"weather.file.milwaukee.mean", "Milwaukee 1991–2026: mean of all daily means", ghcn, "derived", From::independent,
             49.103706493, 1e-6, "°F"},
            mean);
}

TEST(RealWeatherFiles, MercedDailyIsOutOfOrder) {
  const auto path = test::shared_data("merced-daily-1999-2008.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  const std::string bytes = test::read_file(*path);
  const auto without = read_weather_csv(bytes, "merced.csv");
  ASSERT_FALSE(without);
  EXPECT_EQ(without.error().code, "weather.units_needed");
  const WeatherContents file = good(bytes, UnitsChoice::us);
  EXPECT_TRUE(has_note(file, "weather.sorted"));
  EXPECT_TRUE(has_note(file, "weather.column_ignored")) << "PRCP_MM beside PRCP";
  int recorded = 0;
  for (const auto& d : file.series.days()) recorded += d.complete() ? 1 : 0;
  count_row("merced.complete", "Merced 1999–2008: days with both extremes", ghcn, 3622, recorded);
  // PRCP_MM holds tenths of millimetres: it is not believed.
  const WeatherContents only_temperature = good(bytes, UnitsChoice::fahrenheit);
  EXPECT_TRUE(has_note(only_temperature, "weather.rain_columns_disagree"));
  EXPECT_FALSE(only_temperature.series.find(day(1999, 1, 15))->rain);
  EXPECT_NEAR(file.series.find(day(1999, 1, 15))->rain->millimetres(), 5.8, 1e-5);
}

TEST(RealWeatherFiles, NewYorkHourly) {
  const auto path = test::shared_data("nyc-hourly-2013.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  const std::string bytes = test::read_file(*path);
  const auto without = read_weather_csv(bytes, "nyc.csv");
  ASSERT_FALSE(without);
  EXPECT_EQ(without.error().code, "weather.units_needed");
  WeatherReading reading;
  reading.units = UnitsChoice::us;
  reading.offset_seconds = -5 * 3600;
  const auto file = read_weather_csv(bytes, "nyc.csv", reading);
  ASSERT_TRUE(file) << file.error().code << file.error().where.line;
  EXPECT_TRUE(has_note(*file, "weather.hourly_reduced"));
  const auto* july = file->series.find(day(2013, 7, 18));
  ASSERT_NE(july, nullptr);
  ASSERT_TRUE(july->complete());
  check_row({"weather.file.nyc.max", "New York 2013-07-18, hourly to daily: maximum",
             "NOAA Integrated Surface Database; computed by Python", "derived", From::independent, 98.96, 1e-9, "°F"},
            july->max->fahrenheit());
  check_row({"weather.file.nyc.min", "New York 2013-07-18, hourly to daily: minimum",
             "NOAA Integrated Surface Database; computed by Python", "derived", From::independent, 82.94, 1e-9, "°F"},
            july->min->fahrenheit());
}

TEST(RealWeatherFiles, SeattleDailyOfTheOpenDatasets) {
  const auto path = test::open_data("seattle-weather.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the npm package vega-datasets");
  const std::string bytes = test::read_file(*path);
  EXPECT_FALSE(read_weather_csv(bytes, "seattle.csv"));
  const WeatherContents file = good(bytes, UnitsChoice::si);
  const char* const source = "npm vega-datasets, daily Seattle weather (NOAA); computed by Python";
  count_row("seattle.days", "Seattle 2012–2015: days in the file", source, 1461, static_cast<double>(file.series.days().size()));
  double rain = 0.0;
  for (const auto& d : file.series.days()) rain += d.rain->millimetres();
  check_row({"weather.file.seattle.rain", "Seattle 2012–2015: all rain", source, "derived", From::independent, 4426.000000, 1e-6, "mm"},
            rain);
}

TEST(RealWeatherFiles, TwoCitiesInOneFileMustBeTold) {
  const auto path = test::open_data("weather.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the npm package vega-datasets");
  const std::string bytes = test::read_file(*path);
  const auto both = read_weather_csv(bytes, "weather.csv", UnitsChoice::si);
  ASSERT_FALSE(both);
  EXPECT_EQ(both.error().code, "weather.several_stations");
  WeatherReading reading;
  reading.units = UnitsChoice::si;
  reading.station = "New York";
  const auto city = read_weather_csv(bytes, "weather.csv", reading);
  ASSERT_TRUE(city);
  count_row("new_york.days", "New York 2012–2015: days in the two-city file", "npm vega-datasets (NOAA); computed by Python", 1461,
            static_cast<double>(city->series.days().size()));
}

}  // namespace
}  // namespace leafturn::io
