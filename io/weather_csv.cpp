#include "io/weather_csv.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <map>
#include <utility>

#include "io/csv.hpp"
#include "io/weather_columns.hpp"
#include "io/weather_hours.hpp"

namespace leafturn::io {
namespace {

using weather::DailySeries;
using weather::Day;

// `2026-05-31`, `2026/05/31`, or either with a midnight behind it.
std::optional<Date> parse_day(std::string_view cell) {
  cell = without_blanks(cell);
  std::string text(cell.substr(0, 10));
  if (text.size() == 10 && text[4] == '/' && text[7] == '/') text[4] = text[7] = '-';
  const auto day = Date::parse(text);
  if (!day || cell.size() <= 10) return day;
  const auto midnight = CivilTime::parse(text + std::string(cell.substr(10)));
  return midnight && midnight->second_of_day == 0 ? day : std::nullopt;
}

// How a rain column of unknown unit fits the one that names its unit: by which factor, on how many wet rows.
class RainComparison {
 public:
  void see(Length named, double other) {
    if (named < Length::millimetres(1.0)) return;
    ++rows_;
    for (std::size_t i = 0; i < factors_.size(); ++i)
      if (std::abs(other * factors_[i] - named.millimetres()) <= 0.3 + 0.05 * named.millimetres()) ++fits_[i];
  }
  bool disagree() const { return rows_ > 0 && *std::max_element(fits_.begin(), fits_.end()) * 10 < rows_ * 9; }

 private:
  static constexpr std::array<double, 3> factors_{1.0, 10.0, 25.4};  // mm, cm, inches
  std::array<int, 3> fits_{};
  int rows_ = 0;
};

class Reader {
 public:
  Reader(CsvScanner scanner, std::string name, const WeatherReading& reading)
      : scanner_{std::move(scanner)}, name_{std::move(name)}, reading_{reading} {}

  Result<WeatherContents> read() {
    auto columns = find_weather_columns(scanner_, name_, reading_.units, file_.notes);
    if (!columns) return fail(columns.error());
    columns_ = *columns;
    if (reading_.station && !columns_.station) return no_such_station();
    CsvCells row;
    for (;;) {
      const auto more = scanner_.next(row);
      if (!more) return fail(more.error());
      if (!*more) break;
      if (const Status taken = take(row); !taken) return fail(taken.error());
    }
    if (reading_.station && !any_row_) return no_such_station();
    if (!any_row_) return fail("weather.empty", {name_, 0, {}});
    file_.kind = columns_.hourly ? WeatherKind::hourly_table : WeatherKind::daily_table;
    return columns_.hourly ? finish_hourly() : finish_daily();
  }

 private:
  Where at(int line, const std::string& field) const { return {name_, line, field}; }

  tl::unexpected<Error> no_such_station() const {
    return fail("weather.no_such_station", {name_, 0, "station"}, {{"station", reading_.station.value_or("")}});
  }

  Status take(const CsvCells& row) {
    if (columns_.station) {
      const std::string_view station = without_blanks(row.cells[*columns_.station]);
      if (reading_.station && station != *reading_.station) return {};
      if (!any_row_) file_.station.id = station;
      if (station != file_.station.id)
        return fail("weather.several_stations", at(row.line, scanner_.header()[*columns_.station]),
                    {{"first", file_.station.id}, {"other", std::string(station)}});
    }
    any_row_ = true;
    if (const Status issued = take_issued(row); !issued) return issued;
    return columns_.hourly ? take_hour(row) : take_day(row);
  }

  Status take_issued(const CsvCells& row) {
    if (!columns_.issued) return {};
    const std::string_view cell = row.cells[*columns_.issued];
    const Where where = at(row.line, scanner_.header()[*columns_.issued]);
    const auto day = parse_day(cell);
    if (!day) return fail("weather.bad_date", where, {{"value", std::string(cell)}});
    if (file_.issued && *file_.issued != *day) return fail("weather.issued_differs", where, {{"first", *file_.issued}, {"other", *day}});
    file_.issued = day;
    return {};
  }

  Result<std::optional<double>> number(const CsvCells& row, std::size_t column, const std::string& field) const {
    const std::string_view cell = row.cells[column];
    if (is_missing(cell)) return std::nullopt;
    if (const auto value = parse_number(cell)) return value;
    return fail("weather.not_a_number", at(row.line, field), {{"value", std::string(cell)}});
  }

  Result<std::optional<Temperature>> temperature(const CsvCells& row, const MeasuredColumn<TemperatureUnit>& column) const {
    const auto value = number(row, column.index, column.name);
    if (!value) return fail(value.error());
    if (!*value) return std::nullopt;
    return temperature_of(**value, column.unit);
  }

  Result<std::optional<Length>> rain(const CsvCells& row) {
    if (!columns_.rain) return std::nullopt;
    const auto value = number(row, columns_.rain->index, columns_.rain->name);
    if (!value) return fail(value.error());
    if (!*value) return std::nullopt;
    const Length named = rain_of(**value, columns_.rain->unit);
    if (columns_.rain_beside)
      if (const auto other = parse_number(row.cells[*columns_.rain_beside]); other && !is_missing(row.cells[*columns_.rain_beside]))
        comparison_.see(named, *other);
    return named;
  }

  // The series' own checks on one day, so that an error carries its line.
  Status check(const Day& day, int line) const {
    Status possible = weather::check_day(day);
    if (possible) return {};
    Error error = std::move(possible.error());
    error.where.file = name_;
    error.where.line = line;
    if (error.where.field == "min") error.where.field = columns_.min.name;
    if (error.where.field == "max") error.where.field = columns_.max.name;
    if (error.where.field == "rain" && columns_.rain) error.where.field = columns_.rain->name;
    return fail(std::move(error));
  }

  Status take_day(const CsvCells& row) {
    const auto date = parse_day(row.cells[columns_.time]);
    if (!date) return fail("weather.bad_date", at(row.line, columns_.time_name), {{"value", std::string(row.cells[columns_.time])}});
    Day day;
    day.date = *date;
    auto max = temperature(row, columns_.max);
    if (!max) return fail(std::move(max.error()));
    auto min = temperature(row, columns_.min);
    if (!min) return fail(std::move(min.error()));
    auto wet = rain(row);
    if (!wet) return fail(std::move(wet.error()));
    day.max = *max;
    day.min = *min;
    day.rain = *wet;
    if (const Status possible = check(day, row.line); !possible) return possible;
    if (!days_.empty() && *date < days_.back().date && out_of_order_++ == 0) first_out_of_order_ = row.line;
    any_complete_ = any_complete_ || day.complete();
    days_.push_back(day);
    lines_.push_back(row.line);
    return {};
  }

  // The duplicate that comes first in the file, as a person would meet it.
  Status check_duplicates() const {
    std::vector<std::size_t> order(days_.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return days_[a].date < days_[b].date; });
    std::optional<std::pair<std::size_t, std::size_t>> found;
    for (std::size_t i = 1; i < order.size(); ++i)
      if (days_[order[i]].date == days_[order[i - 1]].date && (!found || order[i] < found->second)) found = {order[i - 1], order[i]};
    if (!found) return {};
    return fail("weather.duplicate_date", at(lines_[found->second], columns_.time_name),
                {{"date", days_[found->second].date}, {"first_line", std::int64_t{lines_[found->first]}}});
  }

  Result<WeatherContents> finish_daily() {
    if (out_of_order_ > 0) {
      if (const Status unique = check_duplicates(); !unique) return fail(unique.error());
      file_.notes.push_back({"weather.sorted", {{"rows", std::int64_t{out_of_order_}}, {"line", std::int64_t{first_out_of_order_}}}});
    } else {
      for (std::size_t i = 1; i < days_.size(); ++i)
        if (days_[i].date == days_[i - 1].date) return fail(check_duplicates().error());
    }
    return finish();
  }

  Result<WeatherContents> finish() {
    if (!any_complete_) return fail("weather.no_readings", {name_, 0, {}}, {{"max", columns_.max.name}, {"min", columns_.min.name}});
    if (comparison_.disagree()) {
      for (Day& day : days_) day.rain.reset();
      file_.notes.push_back(
          {"weather.rain_columns_disagree", {{"column", columns_.rain->name}, {"other", scanner_.header()[*columns_.rain_beside]}}});
    }
    auto series = DailySeries::from_days(std::move(days_));
    if (!series) {
      Error error = std::move(series.error());
      error.where.file = name_;
      return fail(std::move(error));
    }
    file_.series = std::move(*series);
    return std::move(file_);
  }

  // --- hourly files ---

  Result<CivilTime> civil_time(const CsvCells& row) {
    const std::string_view cell = without_blanks(row.cells[columns_.time]);
    if (const auto instant = Instant::parse(cell)) {
      placed_by_offset_ = true;
      return Zone::fixed(reading_.offset_seconds.value_or(0)).civil(*instant);
    }
    if (const auto civil = CivilTime::parse(cell); civil && cell.size() > 10) return *civil;
    return fail("weather.bad_time", at(row.line, columns_.time_name), {{"value", std::string(cell)}});
  }

  Status take_hour(const CsvCells& row) {
    const auto time = civil_time(row);
    if (!time) return fail(time.error());
    const auto [place, fresh] = times_.try_emplace(*time, row.line);
    if (!fresh)
      return fail("weather.duplicate_time", at(row.line, columns_.time_name),
                  {{"time", *time}, {"first_line", std::int64_t{place->second}}});
    auto reading = temperature(row, columns_.max);
    if (!reading) return fail(std::move(reading.error()));
    auto wet = rain(row);
    if (!wet) return fail(std::move(wet.error()));
    Day single;
    single.date = time->date;
    single.min = single.max = *reading;
    single.rain = *wet;
    if (const Status possible = check(single, row.line); !possible) return possible;
    hours_.take(*time, *reading, *wet);
    keep_row(row, *time, *reading, *wet);
    return {};
  }

  // A bare time without a known offset can't be placed: its day is the station's own, its instant unknown.
  void keep_row(const CsvCells& row, const CivilTime& time, std::optional<Temperature> reading, std::optional<Length> wet) {
    if (!placed_by_offset_ && !reading_.offset_seconds) return;
    weather::HourlyReading hour;
    hour.at = Zone::fixed(reading_.offset_seconds.value_or(0)).instant(time);
    hour.temperature = reading;
    hour.rain = wet;
    if (wet && weather::impossible_field(hour)) {  // possible for a day, not for an hour
      hour.rain.reset();
      leave_out(columns_.rain->name, row.line);
    }
    beside(row, columns_.dew_point, hour.dew_point, temperature_of, hour);
    beside(row, columns_.humidity, hour.humidity, [](double percent, ShareUnit) { return percent / 100.0; }, hour);
    beside(row, columns_.wind, hour.wind, speed_of, hour);
    beside(row, columns_.gust, hour.gust, speed_of, hour);
    beside(row, columns_.wind_from, hour.wind_from, [](double degrees, AngleUnit) { return Angle::degrees(degrees); }, hour);
    beside(row, columns_.pressure, hour.pressure, pressure_of, hour);
    rows_.take(hour);
  }

  // What stands beside the temperature is left out where it can't be read or can't be, and counted: a broken wind vane is no reason to
  // refuse a year of temperatures.
  template <class Unit, class Quantity, class Make>
  void beside(const CsvCells& row, const std::optional<MeasuredColumn<Unit>>& column, std::optional<Quantity>& field, const Make& make,
              const weather::HourlyReading& hour) {
    if (!column || is_missing(row.cells[column->index])) return;
    if (const auto value = parse_number(row.cells[column->index])) field = make(*value, column->unit);
    if (field && !weather::impossible_field(hour)) return;
    field.reset();
    leave_out(column->name, row.line);
  }

  void leave_out(const std::string& column, int line) {
    auto& [count, first] = left_out_.try_emplace(column, 0, line).first->second;
    ++count;
  }

  void note_left_out() {
    for (const auto& [column, out] : left_out_)
      file_.notes.push_back(
          {"weather.values_left_out", {{"column", column}, {"values", std::int64_t{out.first}}, {"line", std::int64_t{out.second}}}});
  }

  Result<WeatherContents> finish_hourly() {
    days_ = hours_.days(placed_by_offset_, reading_.offset_seconds, file_.notes);
    note_left_out();
    if (!rows_.empty()) {
      auto hourly = rows_.readings(file_.notes);
      if (!hourly) {
        Error error = std::move(hourly.error());
        error.where.file = name_;
        return fail(std::move(error));
      }
      file_.hourly = std::move(*hourly);
    } else {
      file_.notes.push_back({"weather.hours_not_placed", {}});
    }
    any_complete_ = std::any_of(days_.begin(), days_.end(), [](const Day& day) { return day.complete(); });
    return finish();
  }

  CsvScanner scanner_;
  std::string name_;
  WeatherReading reading_;
  WeatherColumns columns_;
  WeatherContents file_;
  bool any_row_ = false;
  bool any_complete_ = false;
  std::vector<Day> days_;
  std::vector<int> lines_;
  int out_of_order_ = 0;
  int first_out_of_order_ = 0;
  RainComparison comparison_;
  HoursByDay hours_;
  RowsOfHours rows_;
  std::map<std::string, std::pair<int, int>> left_out_;  // by column: how many, and the first line
  std::map<CivilTime, int> times_;
  bool placed_by_offset_ = false;
};

}  // namespace

Result<WeatherContents> read_weather_csv(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  auto scanner = CsvScanner::open(bytes, name);
  if (!scanner) return fail(scanner.error());
  return Reader{std::move(*scanner), name, reading}.read();
}

Result<WeatherContents> read_weather_csv(std::string_view bytes, const std::string& name, std::optional<UnitsChoice> units) {
  WeatherReading reading;
  reading.units = units;
  return read_weather_csv(bytes, name, reading);
}

}  // namespace leafturn::io
