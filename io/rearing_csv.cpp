#include "io/rearing_csv.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "core/base/text.hpp"
#include "io/csv.hpp"
#include "io/quantity_text.hpp"

namespace leafturn::io {
namespace {

enum class Scale { celsius, fahrenheit, in_cell };

constexpr std::array temperature_columns{
    std::pair{std::string_view{"temp_c"}, Scale::celsius},    std::pair{std::string_view{"temperature_c"}, Scale::celsius},
    std::pair{std::string_view{"temp_f"}, Scale::fahrenheit}, std::pair{std::string_view{"temperature_f"}, Scale::fahrenheit},
    std::pair{std::string_view{"temp"}, Scale::in_cell},      std::pair{std::string_view{"temperature"}, Scale::in_cell},
};

// Far more than anyone rears at; a file this long is another file.
constexpr std::size_t most_rows = 500;

class Reader {
 public:
  Reader(const CsvTable& table, const std::string& name) : table_{table}, name_{name} {}

  Result<RearingTable> read() {
    if (auto found = find_columns(); !found) return fail(found.error());
    if (table_.rows.size() > most_rows)
      return fail("rearing.too_many", {name_, table_.rows[most_rows].line, {}}, {{"most", std::int64_t{most_rows}}});
    for (const auto& row : table_.rows) {
      auto one = read_row(row);
      if (!one) return fail(one.error());
      out_.rows.push_back(*one);
    }
    if (out_.rows.empty()) return fail("rearing.empty", {name_, 1, {}});
    return std::move(out_);
  }

 private:
  Status find_columns() {
    std::vector<bool> used(table_.header.size(), false);
    for (const auto& [word, scale] : temperature_columns) {
      const auto at = table_.column(word);
      if (!at) continue;
      if (temperature_) return fail("rearing.two_temperatures", {name_, 1, table_.header[*at]});
      temperature_ = *at;
      scale_ = scale;
      used[*at] = true;
    }
    if (!temperature_) return fail("rearing.no_temperature", {name_, 1, {}});
    const auto take = [&](std::string_view word) {
      const auto at = table_.column(word);
      if (at) used[*at] = true;
      return at;
    };
    days_ = take("days");
    n_ = take("n");
    sd_ = take("sd");
    if (!days_) return fail("rearing.no_days", {name_, 1, {}});
    for (std::size_t i = 0; i < used.size(); ++i)
      if (!used[i]) out_.notes.push_back({"rearing.column_ignored", {{"column", table_.header[i]}}});
    return {};
  }

  Result<Temperature> read_temperature(const CsvTable::Row& row) const {
    const std::string& cell = row.cells[*temperature_];
    const Where where{name_, row.line, table_.header[*temperature_]};
    Temperature at;
    if (scale_ == Scale::in_cell) {
      auto parsed = parse_temperature(cell, table_.header[*temperature_]);
      if (!parsed) {
        Error error = parsed.error();
        error.where = where;
        return fail(std::move(error));
      }
      at = *parsed;
    } else {
      const auto number = parse_number(cell);
      if (!number) return fail("rearing.temperature", where, {{"given", cell}});
      at = scale_ == Scale::celsius ? Temperature::celsius(*number) : Temperature::fahrenheit(*number);
    }
    if (at < Temperature::celsius(-20.0) || at > Temperature::celsius(60.0)) return fail("rearing.temperature", where, {{"given", cell}});
    return at;
  }

  Result<std::optional<double>> read_number(const CsvTable::Row& row, std::optional<std::size_t> column, const char* code, double least,
                                            double most) const {
    if (!column || without_blanks(row.cells[*column]).empty()) return std::nullopt;
    const auto number = parse_number(row.cells[*column]);
    if (!number || *number < least || *number > most)
      return fail(code, {name_, row.line, table_.header[*column]}, {{"given", row.cells[*column]}});
    return number;
  }

  Result<phenology::Rearing> read_row(const CsvTable::Row& row) {
    phenology::Rearing out;
    const auto at = read_temperature(row);
    if (!at) return fail(at.error());
    out.at = *at;
    const std::string_view word = without_blanks(row.cells[*days_]);
    if (word.empty()) {
      out_.notes.push_back({"rearing.days_empty", {{"line", std::int64_t{row.line}}}});
    } else if (word != "none" && word != "None" && word != "NONE") {
      const auto days = read_number(row, days_, "rearing.days", 0.01, 1000.0);
      if (!days) return fail(days.error());
      out.days = *days;
    }
    const auto n = read_number(row, n_, "rearing.n", 1.0, 1e6);
    if (!n) return fail(n.error());
    out.n = *n;
    const auto sd = read_number(row, sd_, "rearing.sd", 0.0, 1000.0);
    if (!sd) return fail(sd.error());
    out.sd = *sd;
    return out;
  }

  const CsvTable& table_;
  const std::string& name_;
  std::optional<std::size_t> temperature_, days_, n_, sd_;
  Scale scale_ = Scale::celsius;
  RearingTable out_;
};

}  // namespace

Result<RearingTable> read_rearing_csv(std::string_view bytes, const std::string& name) {
  const auto table = read_csv(bytes, name);
  if (!table) return fail(table.error());
  return Reader{*table, name}.read();
}

}  // namespace leafturn::io
