#include "io/weather_ghcn.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <span>
#include <utility>
#include <vector>

#include "io/csv.hpp"
#include "io/weather_ghcn_days.hpp"
#include "io/weather_lines.hpp"

namespace leafturn::io {
namespace {

constexpr std::size_t id_length = 11;
constexpr std::size_t head_length = 21;
constexpr std::size_t fixed_length = head_length + 31 * std::size_t{8};
constexpr std::array<std::string_view, 3> elements{"TMAX", "TMIN", "PRCP"};

bool digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}
bool is_capital_or_digit(char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }
bool is_station(std::string_view text) {
  return text.size() == id_length &&
         std::all_of(text.begin(), text.end(), [](char c) { return is_capital_or_digit(c) || c == '_' || c == '-'; });
}
bool is_element(std::string_view text) { return text.size() == 4 && std::all_of(text.begin(), text.end(), is_capital_or_digit); }

std::optional<int> whole(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

std::vector<std::string_view> split(std::string_view line, char at = ',') {
  std::vector<std::string_view> cells;
  for (;;) {
    const std::size_t end = line.find(at);
    cells.push_back(without_blanks(line.substr(0, end)));
    if (end == std::string_view::npos) return cells;
    line.remove_prefix(end + 1);
  }
}

std::optional<Date> compact_day(std::string_view text) {
  if (text.size() != 8 || !digits(text)) return std::nullopt;
  return Date::from_ymd(*whole(text.substr(0, 4)), *whole(text.substr(4, 2)), *whole(text.substr(6, 2)));
}

// `0700`, `2400`; nothing when it isn't told.
Result<std::optional<int>> observation_time(std::string_view text, const Where& where) {
  if (text.empty() || text == "9999") return std::nullopt;
  const auto value = digits(text) && text.size() <= 4 ? whole(text) : std::nullopt;
  if (!value || *value > 2400 || *value % 100 > 59) return fail("weather.bad_time", where, {{"value", std::string(text)}});
  return *value / 100 * 60 + *value % 100;
}

// A flag is one letter or nothing.
std::optional<char> flag(std::string_view text) {
  if (text.empty()) return ' ';
  return text.size() == 1 ? std::optional{text[0]} : std::nullopt;
}

// ---- fixed columns ----

bool looks_fixed(std::string_view line) {
  return line.size() >= head_length && is_station(line.substr(0, id_length)) && digits(line.substr(11, 6)) &&
         is_element(line.substr(17, 4)) && line.find_first_of(",;\t") == std::string_view::npos;
}

Status take_month(GhcnDays& days, std::string_view line, int number, const std::string& name) {
  const std::string_view element = line.substr(17, 4);
  const std::string field(element);
  if (line.size() > fixed_length && line.find_first_not_of(' ', fixed_length) != std::string_view::npos)
    return fail("weather.ghcn_line", {name, number, field}, {{"length", static_cast<std::int64_t>(line.size())}});
  const int year = *whole(line.substr(11, 4));
  const int month = *whole(line.substr(15, 2));
  if (!Date::from_ymd(year, month, 1))
    return fail("weather.bad_date", {name, number, field},
                {{"value", std::string(line.substr(11, 4)) + "-" + std::string(line.substr(15, 2))}});
  if (!GhcnDays::wanted(element)) return {};
  for (int d = 1; d <= 31; ++d) {
    const std::size_t at = head_length + static_cast<std::size_t>(d - 1) * 8;
    // Only flags, which may be blank, may be cut off at a line's end.
    if (line.size() < at + 5) return fail("weather.ghcn_line", {name, number, field}, {{"length", static_cast<std::int64_t>(line.size())}});
    const std::string_view text = without_blanks(line.substr(at, 5));
    const auto value = whole(text);
    if (!value) return fail("weather.not_a_number", {name, number, field}, {{"value", std::string(text)}});
    const auto date = Date::from_ymd(year, month, d);
    if (!date) {
      if (*value == -9999) continue;
      return fail("weather.bad_date", {name, number, field},
                  {{"value", std::string(line.substr(11, 4)) + "-" + std::string(line.substr(15, 2)) + "-" + std::to_string(d)}});
    }
    const auto character = [&](std::size_t i) { return i < line.size() ? line[i] : ' '; };
    GhcnReading reading{*date, element, {}, character(at + 5), character(at + 6), {}, number};
    if (*value != -9999) reading.value = *value;
    if (const Status taken = days.take(reading); !taken) return taken;
  }
  return {};
}

Result<WeatherContents> read_fixed(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  GhcnDays days(name, reading, WeatherKind::ghcn_fixed, {});
  Lines lines(bytes);
  for (std::string_view line; lines.next(line);) {
    if (!looks_fixed(line))
      return fail("weather.ghcn_line", {name, lines.number(), {}}, {{"length", static_cast<std::int64_t>(line.size())}});
    const auto ours = days.station(line.substr(0, id_length), lines.number(), "ID");
    if (!ours) return fail(ours.error());
    if (!*ours) continue;
    if (const Status taken = take_month(days, line, lines.number(), name); !taken) return fail(taken.error());
  }
  return days.finish();
}

// ---- one reading a row ----

bool looks_like_rows_header(std::string_view line) {
  const auto cells = split(line);
  return cells.size() >= 7 && (cells[0] == "ID" || cells[0] == "STATION") && cells[1] == "DATE" && cells[2] == "ELEMENT";
}

bool looks_like_row(std::string_view line) {
  const auto cells = split(line);
  return cells.size() >= 4 && is_station(cells[0]) && cells[1].size() == 8 && digits(cells[1]) && is_element(cells[2]);
}

Status take_row(GhcnDays& days, std::string_view line, int number, const std::string& name) {
  const auto cells = split(line);
  const auto row_fault = [&](const char* field) {
    return fail("weather.ghcn_row", {name, number, field}, {{"found", static_cast<std::int64_t>(cells.size())}});
  };
  if (cells.size() < 7 || cells.size() > 8) return row_fault("");
  if (!is_station(cells[0])) return row_fault("ID");
  if (!is_element(cells[2])) return row_fault("ELEMENT");
  const auto ours = days.station(cells[0], number, "ID");
  if (!ours) return fail(ours.error());
  const auto date = compact_day(cells[1]);
  if (!date) return fail("weather.bad_date", {name, number, "DATE"}, {{"value", std::string(cells[1])}});
  if (!*ours || !GhcnDays::wanted(cells[2])) return {};
  const std::string field(cells[2]);
  const auto value = whole(cells[3]);
  if (!value) return fail("weather.not_a_number", {name, number, field}, {{"value", std::string(cells[3])}});
  const auto measurement = flag(cells[4]);
  const auto quality = flag(cells[5]);
  if (!measurement || !quality || !flag(cells[6])) return row_fault("flags");
  const auto observed = observation_time(cells.size() == 8 ? cells[7] : std::string_view{}, {name, number, "OBS_TIME"});
  if (!observed) return fail(observed.error());
  GhcnReading reading{*date, cells[2], {}, *measurement, *quality, *observed, number};
  if (*value != -9999) reading.value = *value;
  return days.take(reading);
}

Result<WeatherContents> read_rows(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  GhcnDays days(name, reading, WeatherKind::ghcn_rows, {});
  Lines lines(bytes);
  bool first = true;
  for (std::string_view line; lines.next(line); first = false) {
    if (first && looks_like_rows_header(line)) continue;
    if (const Status taken = take_row(days, line, lines.number(), name); !taken) return fail(taken.error());
  }
  return days.finish();
}

// ---- one day a row ----

constexpr std::string_view attributes_ending = "_ATTRIBUTES";

bool looks_like_table(std::string_view line) {
  return line.find("STATION") != std::string_view::npos && line.find("DATE") != std::string_view::npos &&
         line.find(attributes_ending) != std::string_view::npos;
}

struct TableColumn {
  std::string_view element;
  std::size_t value = 0;
  std::optional<std::size_t> attributes;
};

struct Table {
  std::size_t station = 0, date = 0;
  std::vector<TableColumn> columns;
};

Result<Table> find_columns(const CsvScanner& scanner, const std::string& name) {
  Table table;
  const auto lacking = [&](std::string_view wanted) {
    std::string found;
    for (const auto& title : scanner.header()) found += (found.empty() ? "" : ", ") + title;
    if (found.size() > 200) found = "…";
    return fail("weather.no_column", {name, scanner.header_line(), std::string(wanted)},
                {{"wanted", std::string(wanted)}, {"found", found}});
  };
  for (const auto& [title, place] : {std::pair{"STATION", &table.station}, std::pair{"DATE", &table.date}}) {
    const auto column = scanner.column(title);
    if (!column) return lacking(title);
    *place = *column;
  }
  for (const std::string_view element : elements) {
    if (const auto column = scanner.column(element))
      table.columns.push_back({element, *column, scanner.column(std::string(element) + std::string(attributes_ending))});
    else if (element != "PRCP")
      return lacking(element);
  }
  return table;
}

/// In what the temperatures are counted, when nobody said: by their sizes over the whole file.
class SizeOfNumbers {
 public:
  void see(double value) {
    ++seen_;
    if (std::abs(value - std::round(value)) > 1e-9) ++broken_;
    if (value > hottest_f || value < coldest_f) ++beyond_;
    largest_ = std::max(largest_, value);
  }
  bool any() const { return seen_ > 0; }
  bool whole_numbers() const { return broken_ == 0; }
  bool tenths() const { return whole_numbers() && beyond_ * 20 >= seen_ && beyond_ > 0; }
  double largest() const { return largest_; }

 private:
  // The recorded extremes on Earth in whole °F, with room (core/weather/daily.hpp).
  static constexpr double hottest_f = 140.0, coldest_f = -130.0;
  std::int64_t seen_ = 0, broken_ = 0, beyond_ = 0;
  double largest_ = -9999.0;
};

Result<GhcnScale> scale_by_size(CsvScanner scanner, const Table& table, const std::string& name, int header_line) {
  SizeOfNumbers sizes;
  CsvCells row;
  for (;;) {
    const auto more = scanner.next(row);
    if (!more) return fail(more.error());
    if (!*more) break;
    for (const auto& column : table.columns)
      if (const std::string_view cell = row.cells[column.value]; column.element != "PRCP" && !is_missing(cell))
        if (const auto value = parse_number(cell)) sizes.see(*value);
  }
  if (!sizes.any()) return fail("weather.no_readings", {name, 0, {}}, {{"max", std::string("TMAX")}, {"min", std::string("TMIN")}});
  if (sizes.tenths()) return GhcnScale{};
  if (!sizes.whole_numbers()) return fail("weather.units_needed", {name, header_line, "TMAX"}, {{"column", std::string("TMAX")}});
  return fail("weather.tenths_or_degrees", {name, header_line, "TMAX"}, {{"largest", Number{sizes.largest(), 0}}});
}

/// The station as its first row tells it.
void take_station(const CsvScanner& scanner, const CsvCells& row, Station& station) {
  const auto cell = [&](std::string_view title) -> std::string_view {
    const auto column = scanner.column(title);
    return column ? without_blanks(row.cells[*column]) : std::string_view{};
  };
  station.name = cell("NAME");
  if (const auto value = parse_number(cell("LATITUDE")); value && std::abs(*value) <= 90.0) station.latitude = Angle::degrees(*value);
  if (const auto value = parse_number(cell("LONGITUDE")); value && std::abs(*value) <= 180.0) station.longitude = Angle::degrees(*value);
  if (const auto value = parse_number(cell("ELEVATION")); value && *value > -500.0 && *value < 9000.0)
    station.elevation = Length::metres(*value);
}

class TableReader {
 public:
  TableReader(const CsvScanner& scanner, const Table& table, GhcnDays& days, std::string name)
      : header_{scanner.header()}, table_{table}, days_{days}, name_{std::move(name)} {}

  Status take(const CsvCells& row) {
    const std::string_view text = without_blanks(row.cells[table_.date]);
    const auto date = Date::parse(text);
    if (!date) return fail("weather.bad_date", {name_, row.line, header_[table_.date]}, {{"value", std::string(text)}});
    for (const auto& column : table_.columns)
      if (const Status taken = take_cell(row, *date, column); !taken) return taken;
    return {};
  }

 private:
  Status take_cell(const CsvCells& row, Date date, const TableColumn& column) {
    const std::string_view cell = row.cells[column.value];
    GhcnReading reading{date, column.element, {}, ' ', ' ', {}, row.line};
    if (is_missing(cell)) return days_.take(reading);
    reading.value = parse_number(cell);
    if (!reading.value)
      return fail("weather.not_a_number", {name_, row.line, header_[column.value]}, {{"value", std::string(without_blanks(cell))}});
    if (column.attributes) {
      const auto parts = split(row.cells[*column.attributes]);
      const Where where{name_, row.line, header_[*column.attributes]};
      const auto part = [&](std::size_t i) { return i < parts.size() ? parts[i] : std::string_view{}; };
      const auto measurement = flag(part(0));
      const auto quality = flag(part(1));
      if (parts.size() > 4 || !measurement || !quality || !flag(part(2)))
        return fail("weather.ghcn_attributes", where, {{"value", std::string(row.cells[*column.attributes])}});
      const auto observed = observation_time(part(3), where);
      if (!observed) return fail(observed.error());
      reading.measurement = *measurement;
      reading.quality = *quality;
      reading.observed = *observed;
    }
    return days_.take(reading);
  }

  const std::vector<std::string>& header_;
  const Table& table_;
  GhcnDays& days_;
  std::string name_;
};

Result<WeatherContents> read_table(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  auto scanner = CsvScanner::open(bytes, name);
  if (!scanner) return fail(scanner.error());
  const auto table = find_columns(*scanner, name);
  if (!table) return fail(table.error());
  const auto scale = reading.units ? GhcnScale{temperature_unit_of(*reading.units), rain_unit_of(*reading.units)}
                                   : scale_by_size(*scanner, *table, name, scanner->header_line());
  if (!scale) return fail(scale.error());
  GhcnDays days(name, reading, WeatherKind::ghcn_table, *scale);
  TableReader reader(*scanner, *table, days, name);
  CsvCells row;
  for (bool first = true;;) {
    const auto more = scanner->next(row);
    if (!more) return fail(more.error());
    if (!*more) break;
    const auto ours = days.station(row.cells[table->station], row.line, scanner->header()[table->station]);
    if (!ours) return fail(ours.error());
    if (!*ours) continue;
    if (std::exchange(first, false)) take_station(*scanner, row, days.contents().station);
    if (const Status taken = reader.take(row); !taken) return fail(taken.error());
  }
  if (!reading.units && !days.contents().station.id.empty()) days.contents().notes.push_back({"weather.tenths_by_size", {}});
  return days.finish();
}

}  // namespace

std::optional<WeatherKind> ghcn_kind(std::string_view bytes) {
  std::string_view line;
  if (Lines lines(bytes); !lines.next(line)) return std::nullopt;
  if (looks_fixed(line)) return WeatherKind::ghcn_fixed;
  if (looks_like_row(line) || looks_like_rows_header(line)) return WeatherKind::ghcn_rows;
  if (looks_like_table(line)) return WeatherKind::ghcn_table;
  return std::nullopt;
}

Result<WeatherContents> read_ghcn(std::string_view bytes, const std::string& name, const WeatherReading& reading, WeatherKind kind) {
  if (kind == WeatherKind::ghcn_table) return read_table(bytes, name, reading);
  if (const Status text = check_text_file(bytes, name); !text) return fail(text.error());
  return kind == WeatherKind::ghcn_fixed ? read_fixed(bytes, name, reading) : read_rows(bytes, name, reading);
}

}  // namespace leafturn::io
