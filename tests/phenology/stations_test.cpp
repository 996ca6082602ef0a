// Half a year of real stations: every method and cutoff against quadrature of the stated curve. The files are read here with a few lines of
// their own, so that a reader's mistake can't hide behind the same mistake.

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "core/phenology/degree_days.hpp"
#include "tests/phenology/curve_quadrature.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::phenology {
namespace {

struct Extremes {
  double min, max;  // °C
};
using Record = std::map<Date, Extremes>;

std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> fields;
  std::istringstream in(line);
  for (std::string field; std::getline(in, field, ',');) fields.push_back(field);
  return fields;
}

Record read_daily(const std::string& path, const char* date, const char* max, const char* min, bool fahrenheit) {
  std::istringstream in(test::read_file(path));
  std::string line;
  std::getline(in, line);
  const auto header = split(line);
  const auto column = [&](const std::string& name) {
    for (std::size_t i = 0; i < header.size(); ++i)
      if (header[i] == name || header[i] == name + "\r") return i;
    throw std::runtime_error("no column " + name);
  };
  const std::size_t d = column(date);
  const std::size_t hi = column(max);
  const std::size_t lo = column(min);
  Record record;
  while (std::getline(in, line)) {
    const auto fields = split(line);
    if (fields.size() <= std::max({d, hi, lo}) || fields[hi] == "NA" || fields[lo] == "NA" || fields[hi].empty() || fields[lo].empty())
      continue;
    const auto value = [&](std::size_t i) { return fahrenheit ? (std::stod(fields[i]) - 32.0) / 1.8 : std::stod(fields[i]); };
    std::string day = fields[d];
    for (char& c : day)
      if (c == '/') c = '-';
    record[Date::parse(day.substr(0, 10)).value()] = {value(lo), value(hi)};
  }
  return record;
}

struct Question {
  const char* id;
  const char* station;
  int year;
  double lower, upper;
};

const char* name(Method method) {
  constexpr std::array names{"average", "single-triangle", "double-triangle", "single-sine", "double-sine"};
  return names[static_cast<std::size_t>(method)];
}
const char* name(Cutoff cutoff) {
  constexpr std::array names{"horizontal", "intermediate", "vertical", "none"};
  return names[static_cast<std::size_t>(cutoff)];
}

void compare_half_year(const Record& record, const Question& q) {
  const Date from = Date::from_ymd(q.year, 4, 1).value();
  const Date to = Date::from_ymd(q.year, 9, 30).value();
  std::vector<weather::Day> days;
  for (const auto& [date, day] : record)
    if (date >= from - Days{5} && date <= to + Days{5})
      days.push_back({date, Temperature::celsius(day.min), Temperature::celsius(day.max), std::nullopt, false});
  const auto series = weather::DailySeries::from_days(days);
  ASSERT_TRUE(series) << series.error().code;
  for (const Method method : {Method::average, Method::single_triangle, Method::double_triangle, Method::single_sine, Method::double_sine})
    for (const Cutoff cutoff : {Cutoff::horizontal, Cutoff::intermediate, Cutoff::vertical, Cutoff::none}) {
      Thresholds thresholds{Temperature::celsius(q.lower), std::nullopt};
      if (cutoff != Cutoff::none) thresholds.upper = Temperature::celsius(q.upper);
      const auto table = accumulate(*series, from, to, method, cutoff, thresholds);
      ASSERT_TRUE(table) << table.error().code;
      double expected = 0.0;
      double got = 0.0;
      int compared = 0;
      for (const DegreeDayRow& row : table->rows) {
        const auto today = record.find(row.date);
        if (today == record.end()) continue;  // a filled day has no curve of its own
        const auto tomorrow = record.find(row.date + Days{1});
        if (tomorrow == record.end()) continue;
        ++compared;
        got += row.degree_days.value().celsius_days();
        const test::CurveDay day{today->second.min, today->second.max, tomorrow->second.min, q.lower, q.upper};
        if (method == Method::average) {
          expected += std::max(0.0, 0.5 * (day.min + day.max) - day.lower);
          continue;
        }
        const bool sine = method == Method::single_sine || method == Method::double_sine;
        const bool halves = method == Method::double_sine || method == Method::double_triangle;
        constexpr std::array above{test::AboveUpper::flat, test::AboveUpper::falling, test::AboveUpper::zero, test::AboveUpper::none};
        expected += test::integrate_day(day, sine ? test::CurveShape::sine : test::CurveShape::triangle, halves,
                                        above[static_cast<std::size_t>(cutoff)]);
      }
      ASSERT_GT(compared, 170);
      test::check_row({std::string(q.id) + "." + name(method) + "." + name(cutoff),
                       std::string("1 April to 30 September at ") + q.station + ", " + name(method) + ", " + name(cutoff) + ", " +
                           std::to_string(compared) + " days",
                       "64-point Gauss-Legendre quadrature of the stated curve on the station's record", "derived", test::From::quadrature,
                       expected, 0.01, "C d"},
                      got);
    }
}

TEST(Stations, MilwaukeeHalfYearEqualsQuadrature) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the Milwaukee station's record (NOAA GHCN-Daily)");
  compare_half_year(read_daily(*path, "date", "TMAX", "TMIN", true), {"dd.milwaukee", "Milwaukee, 2025", 2025, 10.0, 30.0});
}

TEST(Stations, MercedHalfYearEqualsQuadrature) {
  const auto path = test::shared_data("merced-daily-1999-2008.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the Merced station's record (NOAA GHCN-Daily)");
  compare_half_year(read_daily(*path, "date", "TMAX", "TMIN", true), {"dd.merced", "Merced, 2005", 2005, 11.5, 29.4});
}

TEST(Stations, SeattleHalfYearEqualsQuadrature) {
  const auto path = test::open_data("seattle-weather.csv");
  LEAFTURN_SKIP_WITHOUT(path, "the Seattle weather of the npm package vega-datasets");
  compare_half_year(read_daily(*path, "date", "temp_max", "temp_min", false), {"dd.seattle", "Seattle, 2014", 2014, 7.2, 24.0});
}

}  // namespace
}  // namespace leafturn::phenology
