#pragma once
/// Tables with a header line.
///
/// RFC 4180 quoting, UTF-8 with or without byte-order mark, any line ending, comma or tab (by the header line). Every row must be as long
/// as the header
/// (`csv.row_length`, with the line); blank lines are skipped. Not text (NUL bytes, invalid UTF-8): `csv.not_text`. No header: `csv.empty`.
/// Two columns of one name: `csv.duplicate_column`. A quote that isn't closed, or text after one: `csv.quote`. Over 64 MiB:
/// `csv.too_large`.

#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"

namespace leafturn::io {

/// One row as views into the file's bytes (or, for quoted cells, into the scanner); good until the next row is read.
struct CsvCells {
  int line = 0;  ///< where the row begins
  std::vector<std::string_view> cells;
};

/// What a table can't show by its first line: lines of text above its header, and another delimiter than comma or tab.
struct CsvForm {
  int lines_above = 0;
  char delimiter = '\0';  ///< none: by the header line
};

/// Reads row by row without copying. `bytes` must outlive it.
class CsvScanner {
 public:
  static Result<CsvScanner> open(std::string_view bytes, const std::string& name, CsvForm form = {});
  /// Names as written, without blanks around them.
  const std::vector<std::string>& header() const { return header_; }
  int header_line() const { return header_line_; }
  /// Column by name, any case; nullopt if there is none.
  std::optional<std::size_t> column(std::string_view name) const;
  /// False at the end.
  Result<bool> next(CsvCells& row);

 private:
  Result<bool> next_row(CsvCells& row);
  Status read_cell(CsvCells& row);
  Status read_quoted(CsvCells& row);
  bool at_line_end() const;
  void pass_line_end();

  std::string_view bytes_;
  std::string name_;
  std::size_t at_ = 0;
  int line_ = 1;
  int header_line_ = 1;
  char delimiter_ = ',';
  std::vector<std::string> header_;
  std::deque<std::string> unquoted_;
};

/// The whole table, for small files.
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

/// UTF-8 without NUL bytes, at most 64 MiB: `csv.not_text`, `csv.too_large`.
Status check_text_file(std::string_view bytes, const std::string& name);

/// Without blanks at either end.
std::string_view without_blanks(std::string_view cell);
/// What counts as missing in weather files: empty, `NA`, −9999.
bool is_missing(std::string_view cell);
/// A whole cell as a finite decimal number, blanks around it allowed; nothing otherwise.
std::optional<double> parse_number(std::string_view cell);

}  // namespace leafturn::io
