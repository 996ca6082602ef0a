#pragma once
/// Tables with a header line.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"

namespace leafturn::io {

/// RFC 4180 quoting, UTF-8 with or without byte-order mark, any line ending, comma or tab (by the header line). Every row must be as long as the header
/// (`csv.row_length`, with the line); blank lines are skipped. Not text (NUL bytes, invalid UTF-8): `csv.not_text`. No header: `csv.empty`.
struct CsvTable {
  std::vector<std::string> header;
  struct Row {
    int line = 0;
    std::vector<std::string> cells;
  };
  std::vector<Row> rows;
  /// Column by name, any case; nullopt if there is none.
  std::optional<std::size_t> column(std::string_view name) const;
};
Result<CsvTable> read_csv(std::string_view bytes, const std::string& name);

/// What counts as missing in weather files: empty, `NA`, −9999.
bool is_missing(std::string_view cell);
/// A whole cell as a finite number; nothing otherwise.
std::optional<double> parse_number(std::string_view cell);

}  // namespace leafturn::io
