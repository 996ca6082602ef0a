// GHCN-Daily in its three published forms. The layouts are NOAA's (readme.txt of GHCN-Daily, from memory); the numbers are the Milwaukee
// station's own, which is published in tenths of °C and mm and came to us converted to °F and inches.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "io/weather_csv.hpp"
#include "io/weather_file.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

using test::check_row;
using test::From;

constexpr const char* station = "USW00014839";

WeatherContents good(std::string_view bytes, const WeatherReading& reading = {}) {
  auto contents = read_weather(bytes, "w", reading);
  EXPECT_TRUE(contents) << contents.error().code << " line " << contents.error().where.line << " " << contents.error().where.field;
  return contents ? *contents : WeatherContents{};
}

std::string refused(std::string_view bytes, const WeatherReading& reading = {}) {
  const auto contents = read_weather(bytes, "w", reading);
  return contents ? "read" : contents.error().code + ":" + std::to_string(contents.error().where.line) + ":" + contents.error().where.field;
}

bool has_note(const WeatherContents& contents, std::string_view code) {
  return std::any_of(contents.notes.begin(), contents.notes.end(), [&](const Reason& r) { return r.code == code; });
}

Date day(int y, int m, int d) { return *Date::from_ymd(y, m, d); }

std::string right(const std::string& text, std::size_t width) { return std::string(width - std::min(width, text.size()), ' ') + text; }

using Tenths = std::function<std::optional<long>(const weather::Day&)>;
const std::vector<std::pair<std::string, Tenths>> elements{
    {"TMAX", [](const weather::Day& d) { return d.max ? std::optional(std::lround(d.max->celsius() * 10)) : std::nullopt; }},
    {"TMIN", [](const weather::Day& d) { return d.min ? std::optional(std::lround(d.min->celsius() * 10)) : std::nullopt; }},
    {"PRCP", [](const weather::Day& d) { return d.rain ? std::optional(std::lround(d.rain->millimetres() * 10)) : std::nullopt; }}};

std::string as_fixed(const weather::DailySeries& series) {
  std::map<std::pair<int, std::string>, std::vector<std::string>> months;
  for (const auto& d : series.days())
    for (const auto& [element, tenths] : elements) {
      auto& cells = months[{d.date.year() * 100 + d.date.month(), element}];
      cells.resize(31, "-9999   ");
      if (const auto value = tenths(d)) cells[static_cast<std::size_t>(d.date.day() - 1)] = right(std::to_string(*value), 5) + "  W";
    }
  std::string text;
  for (const auto& [key, cells] : months) {
    text += station + std::to_string(key.first) + key.second;
    for (const auto& cell : cells) text += cell;
    text += "\n";
  }
  return text;
}

std::string as_rows(const weather::DailySeries& series) {
  std::string text;
  for (const auto& d : series.days()) {
    std::string compact = d.date.iso();
    std::erase(compact, '-');
    for (const auto& [element, tenths] : elements)
      if (const auto value = tenths(d))
        text += std::string(station) + "," + compact + "," + element + "," + std::to_string(*value) + ",,,W,2400\n";
  }
  return text;
}

std::string as_table(const weather::DailySeries& series) {
  std::string text =
      R"("STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES")"
      "\n";
  for (const auto& d : series.days()) {
    text += "\"" + std::string(station) + "\",\"" + d.date.iso() + R"(","42.955","-87.9044","204.2","MILWAUKEE, WI US")";
    for (const std::size_t e : {2U, 0U, 1U}) {
      const auto value = elements[e].second(d);
      text += value ? ",\"" + right(std::to_string(*value), 5) + "\",\",,W\"" : ",,";
    }
    text += "\n";
  }
  return text;
}

double difference(const weather::DailySeries& a, const weather::DailySeries& b) {
  if (a.days().size() != b.days().size() || a.first() != b.first()) return 1e9;
  double most = 0.0;
  for (std::size_t i = 0; i < a.days().size(); ++i) {
    const auto& x = a.days()[i];
    const auto& y = b.days()[i];
    if (x.min.has_value() != y.min.has_value() || x.max.has_value() != y.max.has_value() || x.rain.has_value() != y.rain.has_value())
      return 1e9;
    if (x.min) most = std::max(most, std::abs((*x.min - *y.min).kelvin()));
    if (x.max) most = std::max(most, std::abs((*x.max - *y.max).kelvin()));
    if (x.rain) most = std::max(most, std::abs((*x.rain - *y.rain).millimetres()));
  }
  return most;
}

TEST(Ghcn, ThreeFormsOfOneStationGiveTheSameSeries) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  LEAFTURN_SKIP_WITHOUT(path, "../shared/data");
  const auto own = read_weather_csv(test::read_file(*path), "milwaukee", UnitsChoice::us);
  ASSERT_TRUE(own);
  const WeatherContents fixed = good(as_fixed(own->series));
  const WeatherContents rows = good(as_rows(own->series));
  const WeatherContents table = good(as_table(own->series));
  EXPECT_EQ(fixed.kind, WeatherKind::ghcn_fixed);
  EXPECT_EQ(rows.kind, WeatherKind::ghcn_rows);
  EXPECT_EQ(table.kind, WeatherKind::ghcn_table);
  for (const auto* contents : {&fixed, &rows, &table}) EXPECT_EQ(contents->station.id, station);
  EXPECT_EQ(table.station.name, "MILWAUKEE, WI US");
  EXPECT_NEAR(table.station.latitude->degrees(), 42.955, 1e-12);
  EXPECT_NEAR(table.station.elevation->metres(), 204.2, 1e-12);
  EXPECT_TRUE(has_note(table, "weather.tenths_by_size"));
  const auto row = [&](const char* id, const std::string& what) {
    // The converted file's inches are rounded in their sixth figure: 4e-7 of 200 mm.
    return test::Row{std::string("weather.ghcn.") + id,
                     what,
                     "NOAA GHCN-Daily, the same station as CSV in °F and inches",
                     "derived",
                     From::independent,
                     0.0,
                     1e-4,
                     "K or mm"};
  };
  check_row(row("fixed", "Milwaukee 1991–2026 in fixed columns: largest difference to the CSV"), difference(fixed.series, own->series));
  check_row(row("rows", "Milwaukee 1991–2026, one reading a row: largest difference to the CSV"), difference(rows.series, own->series));
  check_row(row("table", "Milwaukee 1991–2026, one day a row: largest difference to the CSV"), difference(table.series, own->series));
  EXPECT_EQ(difference(fixed.series, rows.series), 0.0);
  EXPECT_EQ(difference(fixed.series, table.series), 0.0);
}

std::string line(const std::string& month_element, const std::vector<std::string>& cells) {
  std::string text = std::string(station) + month_element;
  for (std::size_t i = 0; i < 31; ++i) text += i < cells.size() ? cells[i] : "-9999   ";
  return text + "\n";
}

const std::string two_days = line("202605TMAX", {"  250  W", "  301 IW"}) + line("202605TMIN", {"  100  W", "  120  W"}) +
                             line("202605PRCP", {"    0T W", "    0P W"}) + line("202605SNOW", {"    0  W"});

TEST(Ghcn, FlaggedReadingsAreMissingAndListed) {
  const WeatherContents contents = good(two_days);
  const auto days = contents.series.days();
  ASSERT_EQ(days.size(), 2U) << "the rest of the month isn't part of the record";
  EXPECT_NEAR(days[0].max->celsius(), 25.0, 1e-12);
  EXPECT_FALSE(days[1].max);
  EXPECT_TRUE(days[1].min);
  ASSERT_EQ(contents.flagged.size(), 1U);
  EXPECT_EQ(contents.flagged[0].date, day(2026, 5, 2));
  EXPECT_EQ(contents.flagged[0].element, "TMAX");
  EXPECT_EQ(contents.flagged[0].flag, 'I');
  EXPECT_TRUE(has_note(contents, "weather.flagged"));
}

TEST(Ghcn, ATraceIsDryAndAPresumedZeroIsUnknown) {
  const WeatherContents contents = good(two_days);
  EXPECT_NEAR(contents.series.days()[0].rain->millimetres(), 0.0, 1e-12);
  EXPECT_FALSE(contents.series.days()[1].rain);
  EXPECT_TRUE(has_note(contents, "weather.presumed_dry"));
}

TEST(Ghcn, LinesWithoutTheirBlanksAtTheEndAreWhole) {
  std::string text =
      line("202607TMAX", std::vector<std::string>(31, "  250   ")) + line("202607TMIN", std::vector<std::string>(31, "  100   "));
  const WeatherContents whole = good(text);
  std::string trimmed;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    std::string one = text.substr(at, end - at);
    while (one.back() == ' ') one.pop_back();
    trimmed += one + "\r\n";
    at = end + 1;
  }
  EXPECT_EQ(difference(whole.series, good(trimmed).series), 0.0);
}

TEST(Ghcn, UnitsSaidForAFormThatHasItsOwnAreLeftAside) {
  WeatherReading reading;
  reading.units = UnitsChoice::us;
  const WeatherContents contents = good(two_days, reading);
  EXPECT_NEAR(contents.series.days()[0].max->celsius(), 25.0, 1e-12);
  EXPECT_TRUE(has_note(contents, "weather.units_of_form"));
}

TEST(Ghcn, RowsMayHaveAHeaderAndMorningObserversAreNoted) {
  const std::string rows =
      "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"
      "USC00473636,20260501,TMAX,250,,,7,0700\nUSC00473636,20260501,TMIN,100,,,7,0700\n"
      "USC00473636,20260502,TMAX,260,,,7,\nUSC00473636,20260502,TMIN,110,,,7,\n"
      "USC00473636,20260503,TMAX,270,,,7,2400\nUSC00473636,20260503,TMIN,110,,,7,2400\n";
  const WeatherContents contents = good(rows);
  EXPECT_EQ(contents.kind, WeatherKind::ghcn_rows);
  EXPECT_NEAR(contents.series.find(day(2026, 5, 1))->max->celsius(), 25.0, 1e-12) << "nothing is shifted";
  const auto note =
      std::find_if(contents.notes.begin(), contents.notes.end(), [](const auto& n) { return n.code == "weather.morning_observer"; });
  ASSERT_NE(note, contents.notes.end());
  EXPECT_EQ(std::get<std::int64_t>(note->facts[0].value), 1);
  EXPECT_EQ(std::get<std::int64_t>(note->facts[1].value), 2);
}

TEST(Ghcn, OneStationOfSeveralCanBeChosen) {
  const std::string rows =
      "USW00014839,20260501,TMAX,250,,,W,2400\nUSW00014839,20260501,TMIN,100,,,W,2400\n"
      "USW00023257,20260501,TMAX,350,,,W,2400\nUSW00023257,20260501,TMIN,200,,,W,2400\n";
  EXPECT_EQ(refused(rows), "weather.several_stations:3:ID");
  WeatherReading reading;
  reading.station = "USW00023257";
  EXPECT_NEAR(good(rows, reading).series.days()[0].max->celsius(), 35.0, 1e-12);
  reading.station = "USW00000000";
  EXPECT_EQ(refused(rows, reading), "weather.no_such_station:0:station");
}

std::string table_of(const std::vector<std::pair<int, int>>& extremes) {
  std::string text = "STATION,DATE,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES,PRCP,PRCP_ATTRIBUTES\n";
  Date date = day(2026, 5, 1);
  for (const auto& [max, min] : extremes) {
    text += std::string(station) + "," + date.iso() + "," + std::to_string(max) + ",\",,W\"," + std::to_string(min) +
            ",\",,W\",12,\",,W,0700\"\n";
    date = date + Days{1};
  }
  return text;
}

TEST(Ghcn, ATablesUnitIsNeverGuessed) {
  EXPECT_EQ(refused(table_of({{85, 60}, {79, 55}})), "weather.tenths_or_degrees:1:TMAX") << "8.5 °C or 85 °F";
  std::vector<std::pair<int, int>> mostly_fahrenheit(40, {85, 60});
  mostly_fahrenheit[7].first = 850;  // a slip of the pen must not make tenths of all the others
  EXPECT_EQ(refused(table_of(mostly_fahrenheit)), "weather.tenths_or_degrees:1:TMAX");
  EXPECT_EQ(refused("STATION,DATE,TMAX,TMAX_ATTRIBUTES,TMIN\nX,2026-05-01,25.6,\",,W\",11.1\n"), "weather.units_needed:1:TMAX");
  const WeatherContents tenths = good(table_of({{285, 160}, {279, 155}}));
  EXPECT_NEAR(tenths.series.days()[0].max->celsius(), 28.5, 1e-12);
  EXPECT_NEAR(tenths.series.days()[0].rain->millimetres(), 1.2, 1e-12);
  WeatherReading reading;
  reading.units = UnitsChoice::fahrenheit;
  const WeatherContents f = good(table_of({{85, 60}, {79, 55}}), reading);
  EXPECT_NEAR(f.series.days()[0].max->fahrenheit(), 85.0, 1e-12);
  EXPECT_FALSE(f.series.days()[0].rain) << "F says nothing about rain";
  EXPECT_TRUE(has_note(f, "weather.rain_unit_unknown"));
  reading.units = UnitsChoice::tenths;
  EXPECT_NEAR(good(table_of({{85, 60}}), reading).series.days()[0].max->celsius(), 8.5, 1e-12);
}

}  // namespace
}  // namespace leafturn::io
