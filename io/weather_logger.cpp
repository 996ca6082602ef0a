#include "io/weather_logger.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <utility>

#include "io/csv.hpp"
#include "io/logger_time.hpp"
#include "io/weather_columns.hpp"
#include "io/weather_lines.hpp"

namespace leafturn::io {
namespace {

constexpr int most_lines_above = 10;

enum class Role { other, time, date, clock, temperature };

bool starts(std::string_view text, std::string_view with) { return text.substr(0, with.size()) == with; }

std::string lower(std::string_view text) {
  std::string out;
  for (const char c : text) out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return out;
}

Role role_of(std::string_view title) {
  const std::string t = lower(without_blanks(title));
  for (const char* name : {"date time", "date-time", "date_time", "datetime", "date/time", "timestamp", "time stamp", "local time",
                           "fecha hora", "fecha y hora", "fecha/hora", "fecha-hora", "fecha_hora"})
    if (starts(t, name)) return Role::time;
  if (starts(t, "date") || starts(t, "fecha")) return Role::date;
  if (starts(t, "time") || t == "hora" || starts(t, "hora ")) return Role::clock;
  if (starts(t, "temp") && t.find("max") == std::string::npos && t.find("min") == std::string::npos && t.find("máx") == std::string::npos &&
      t.find("mín") == std::string::npos)
    return Role::temperature;
  return Role::other;
}

std::optional<TemperatureUnit> unit_of(std::string_view title) {
  const std::string t = lower(without_blanks(title));
  const bool fahrenheit = t.find("°f") != std::string::npos || t.find("(f)") != std::string::npos || t.ends_with("_f") ||
                          t.ends_with(" f") || t.ends_with(",f") || t.find("fahrenheit") != std::string::npos ||
                          t.find("degf") != std::string::npos;
  const bool celsius = t.find("°c") != std::string::npos || t.find("(c)") != std::string::npos || t.ends_with("_c") || t.ends_with(" c") ||
                       t.ends_with(",c") || t.find("celsius") != std::string::npos || t.find("degc") != std::string::npos;
  if (fahrenheit == celsius) return std::nullopt;
  return fahrenheit ? TemperatureUnit::fahrenheit : TemperatureUnit::celsius;
}

struct Layout {
  CsvForm form;
  int lines_seen = 0;
  bool plain = false;  ///< io/weather_csv.hpp reads it
};

std::vector<std::string_view> cells_of(std::string_view line, char delimiter) {
  std::vector<std::string_view> cells;
  bool quoted = false;
  std::size_t from = 0;
  for (std::size_t i = 0; i <= line.size(); ++i) {
    if (i < line.size() && line[i] == '"') quoted = !quoted;
    if (i < line.size() && (quoted || line[i] != delimiter)) continue;
    std::string_view cell = without_blanks(line.substr(from, i - from));
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"') cell = cell.substr(1, cell.size() - 2);
    cells.push_back(cell);
    from = i + 1;
  }
  return cells;
}

/// The first line that names a time and a temperature.
std::optional<Layout> find_layout(std::string_view bytes) {
  Lines lines(bytes);
  int seen = 0;
  for (std::string_view line; seen <= most_lines_above && lines.next(line); ++seen) {
    for (const char delimiter : {';', '\t', ','}) {
      bool time = false, date = false, known_time = false, full_time = false, temperature = false;
      for (const std::string_view cell : cells_of(line, delimiter)) {
        const Role role = role_of(cell);
        time = time || role == Role::time || role == Role::date || role == Role::clock;
        date = date || role == Role::date;
        known_time = known_time || lower(cell) == "time";
        full_time = full_time || lower(cell) == "time_hour";
        temperature = temperature || role == Role::temperature;
      }
      if (!time || !temperature) continue;
      return Layout{{lines.number() - 1, delimiter}, seen, seen == 0 && delimiter != ';' && (full_time || (known_time && !date))};
    }
  }
  return std::nullopt;
}

/// A number with a point, or with one comma for it.
std::optional<double> number_of(std::string_view cell) {
  const std::size_t comma = cell.find(',');
  if (comma == std::string_view::npos) return parse_number(cell);
  if (cell.find('.') != std::string_view::npos || cell.find(',', comma + 1) != std::string_view::npos) return std::nullopt;
  std::string text(cell);
  text[comma] = '.';
  return parse_number(text);
}

struct Columns {
  std::size_t time = 0;
  std::optional<std::size_t> clock;
  std::size_t temperature = 0;
  TemperatureUnit unit{};
};

struct Row {
  LoggerTime time;
  std::optional<Temperature> reading;
  int line = 0;
};

class Logger {
 public:
  Logger(CsvScanner scanner, std::string name, const WeatherReading& reading)
      : scanner_{std::move(scanner)}, name_{std::move(name)}, reading_{reading} {
    contents_.kind = WeatherKind::logger;
  }

  Result<WeatherContents> read() {
    if (const Status found = find_columns(); !found) return fail(found.error());
    if (const Status taken = take_rows(); !taken) return fail(taken.error());
    if (rows_.empty()) return fail("weather.empty", {name_, 0, {}});
    if (const Status placed = place(); !placed) return fail(placed.error());
    return days();
  }

 private:
  const std::string& title(std::size_t column) const { return scanner_.header()[column]; }

  Status find_columns() {
    std::optional<std::size_t> time, date, clock, temperature;
    for (std::size_t i = 0; i < scanner_.header().size(); ++i) {
      const Role role = role_of(title(i));
      if (role == Role::time && !time) time = i;
      if (role == Role::date && !date) date = i;
      if (role == Role::clock && !clock) clock = i;
      if (role != Role::temperature) continue;
      if (temperature)
        return fail("weather.two_thermometers", {name_, scanner_.header_line(), title(i)},
                    {{"first", title(*temperature)}, {"other", title(i)}});
      temperature = i;
    }
    if (!temperature)
      return fail("weather.no_column", {name_, scanner_.header_line(), "temp"}, {{"wanted", std::string("temp")}, {"found", title(0)}});
    columns_.temperature = *temperature;
    columns_.time = time ? *time : date ? *date : clock.value_or(0);
    if (!time && date && clock) columns_.clock = clock;
    const auto written = unit_of(title(*temperature));
    if (!written && !reading_.units)
      return fail("weather.units_needed", {name_, scanner_.header_line(), title(*temperature)}, {{"column", title(*temperature)}});
    columns_.unit = reading_.units ? temperature_unit_of(*reading_.units) : *written;
    if (reading_.units && written && *written != columns_.unit)
      contents_.notes.push_back({"weather.units_overridden", {{"column", title(*temperature)}}});
    return {};
  }

  Status take_rows() {
    CsvCells row;
    for (;;) {
      const auto more = scanner_.next(row);
      if (!more) return fail(more.error());
      if (!*more) return {};
      std::string text(without_blanks(row.cells[columns_.time]));
      if (columns_.clock) text += " " + std::string(without_blanks(row.cells[*columns_.clock]));
      const auto time = parse_logger_time(text);
      if (!time) return fail("weather.bad_time", {name_, row.line, title(columns_.time)}, {{"value", text}});
      const std::string_view cell = row.cells[columns_.temperature];
      Row taken{*time, {}, row.line};
      if (!is_missing(cell)) {
        const auto value = number_of(cell);
        if (!value)
          return fail("weather.not_a_number", {name_, row.line, title(columns_.temperature)},
                      {{"value", std::string(without_blanks(cell))}});
        taken.reading = temperature_of(*value, columns_.unit);
      }
      rows_.push_back(taken);
    }
  }

  /// Every row onto one clock, in which a second is a second.
  Status place() {
    const auto order = order_of_day_and_month();
    if (!order) return fail(order.error());
    const Zone zone = Zone::fixed(reading_.offset_seconds.value_or(0));
    for (const Row& row : rows_) {
      const auto time = row.time.civil(*order, zone);
      if (!time) return fail("weather.bad_time", {name_, row.line, title(columns_.time)}, {{"value", row.time.text}});
      in_utc_ = in_utc_ || row.time.instant;
      times_.push_back(*time);
      weather::Day single;
      single.date = time->date;
      single.min = single.max = row.reading;
      if (const Status ok = weather::check_day(single); !ok) {
        Error error = ok.error();
        error.where = {name_, row.line, title(columns_.temperature)};
        return fail(std::move(error));
      }
    }
    return {};
  }

  Result<DayAndMonth> order_of_day_and_month() const {
    bool day_first = false, month_first = false;
    const Row* slashed = nullptr;
    for (const Row& row : rows_) {
      if (!row.time.slashed) continue;
      if (slashed == nullptr) slashed = &row;
      day_first = day_first || row.time.first > 12;
      month_first = month_first || row.time.second > 12;
    }
    if (slashed != nullptr && day_first == month_first)
      return fail("weather.day_or_month", {name_, slashed->line, title(columns_.time)}, {{"value", slashed->time.text}});
    return day_first ? DayAndMonth::day_first : DayAndMonth::month_first;
  }

  static std::int64_t minutes_between(const CivilTime& a, const CivilTime& b) {
    return std::int64_t{(b.date - a.date).count} * 1440 + (b.second_of_day - a.second_of_day) / 60;
  }

  /// Steps back by about an hour in the file's own order: a clock that was set back.
  bool set_back(std::size_t row) const {
    const std::int64_t step = minutes_between(times_[row - 1], times_[row]);
    return step < 0 && step >= -60;
  }

  /// Some loggers write the newest reading first.
  void oldest_first() {
    std::size_t back = 0;
    for (std::size_t i = 1; i < times_.size(); ++i) back += times_[i] < times_[i - 1] ? 1U : 0U;
    if (back * 2 <= times_.size()) return;
    std::reverse(times_.begin(), times_.end());
    std::reverse(rows_.begin(), rows_.end());
  }

  Result<WeatherContents> days() {
    oldest_first();
    struct Seen {
      std::optional<Temperature> reading;
      int line = 0;
      int run = 0;
    };
    std::map<CivilTime, Seen> seen;
    std::map<Date, std::vector<Temperature>> readings;
    std::map<Date, int> times_of_day;
    std::int64_t equal_rows = 0, jumps = 0, unsorted = 0;
    int run = 0, first_unsorted = 0;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      if (i > 0 && set_back(i)) {
        ++run;
        if (jumps++ == 0) first_jump_ = times_[i].date;
      } else if (i > 0 && times_[i] < times_[i - 1] && unsorted++ == 0) {
        first_unsorted = rows_[i].line;
      }
      const auto [at, fresh] = seen.try_emplace(times_[i], Seen{rows_[i].reading, rows_[i].line, run});
      if (!fresh && at->second.run == run) {
        const bool same = at->second.reading == rows_[i].reading;
        if (!same)
          return fail("weather.duplicate_time", {name_, rows_[i].line, title(columns_.time)},
                      {{"time", times_[i]}, {"first_line", std::int64_t{at->second.line}}});
        ++equal_rows;
        continue;
      }
      if (fresh) ++times_of_day[times_[i].date];
      auto& of_day = readings[times_[i].date];
      if (rows_[i].reading) of_day.push_back(*rows_[i].reading);
    }
    const std::int64_t step = usual_step(seen);
    if (step > 180) return fail("weather.too_sparse", {name_, 0, {}}, {{"minutes", step}});
    note_rows(equal_rows, jumps, unsorted, first_unsorted, step);
    return reduce(readings, static_cast<std::size_t>(std::max<std::int64_t>(1, 1440 / step)));
  }

  template <class Seen>
  static std::int64_t usual_step(const std::map<CivilTime, Seen>& seen) {
    std::vector<std::int64_t> steps;
    for (auto a = seen.begin(), b = a == seen.end() ? a : std::next(a); b != seen.end(); ++a, ++b)
      steps.push_back(std::max<std::int64_t>(1, minutes_between(a->first, b->first)));
    if (steps.empty()) return 1440;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
  }

  void note_rows(std::int64_t equal_rows, std::int64_t jumps, std::int64_t unsorted, int first_unsorted, std::int64_t step) {
    auto& notes = contents_.notes;
    if (equal_rows > 0) notes.push_back({"weather.equal_rows", {{"rows", equal_rows}}});
    if (jumps > 0) notes.push_back({"weather.clock_set_back", {{"times", jumps}, {"first", first_jump_.iso()}}});
    if (unsorted > 0) notes.push_back({"weather.sorted", {{"rows", unsorted}, {"line", std::int64_t{first_unsorted}}}});
    if (step > 60) notes.push_back({"weather.sparse_extremes", {{"minutes", step}}});
  }

  Result<WeatherContents> reduce(const std::map<Date, std::vector<Temperature>>& readings, std::size_t whole_day) {
    std::vector<weather::Day> days;
    std::int64_t short_days = 0;
    for (const auto& [date, of_day] : readings) {
      weather::Day day;
      day.date = date;
      if (of_day.size() * 24 >= whole_day * 20) {
        const auto [low, high] = std::minmax_element(of_day.begin(), of_day.end());
        day.min = *low;
        day.max = *high;
      } else {
        ++short_days;
      }
      days.push_back(day);
    }
    if (short_days == static_cast<std::int64_t>(days.size())) return fail("weather.no_whole_day", {name_, 0, {}});
    auto& notes = contents_.notes;
    notes.push_back({"weather.hourly_reduced", {{"days", static_cast<std::int64_t>(days.size())}}});
    if (in_utc_ && reading_.offset_seconds)
      notes.push_back({"weather.hourly_days_at_offset", {{"offset", Zone::fixed(*reading_.offset_seconds).name()}}});
    if (in_utc_ && !reading_.offset_seconds) notes.push_back({"weather.hourly_days_utc", {}});
    if (short_days > 0) notes.push_back({"weather.hours_missing", {{"days", short_days}, {"needed", std::int64_t{20}}}});
    auto series = weather::DailySeries::from_days(std::move(days));
    if (!series) {
      Error error = std::move(series.error());
      error.where.file = name_;
      return fail(std::move(error));
    }
    contents_.series = std::move(*series);
    return std::move(contents_);
  }

  CsvScanner scanner_;
  std::string name_;
  const WeatherReading& reading_;
  Columns columns_;
  WeatherContents contents_;
  std::vector<Row> rows_;
  std::vector<CivilTime> times_;
  Date first_jump_;
  bool in_utc_ = false;
};

}  // namespace

bool looks_like_logger(std::string_view bytes) {
  const auto layout = find_layout(bytes);
  return layout && !layout->plain;
}

Result<WeatherContents> read_logger(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  const auto layout = find_layout(bytes);
  auto scanner = CsvScanner::open(bytes, name, layout ? layout->form : CsvForm{});
  if (!scanner) return fail(scanner.error());
  return Logger(std::move(*scanner), name, reading).read();
}

}  // namespace leafturn::io
