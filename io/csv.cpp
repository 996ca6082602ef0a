#include "io/csv.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <utility>

#include "core/base/text.hpp"

namespace leafturn::io {
namespace {

constexpr std::size_t most_bytes = 64U << 20;

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool same_name(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) { return lower(x) == lower(y); });
}

std::optional<std::size_t> find_column(const std::vector<std::string>& header, std::string_view name) {
  for (std::size_t i = 0; i < header.size(); ++i)
    if (same_name(header[i], name)) return i;
  return std::nullopt;
}

// The first line decides: tab when it has more tabs than commas.
char delimiter_of(std::string_view line) {
  return std::count(line.begin(), line.end(), '\t') > std::count(line.begin(), line.end(), ',') ? '\t' : ',';
}

int line_of(std::string_view bytes, std::size_t at) {
  int line = 1;
  for (std::size_t i = 0; i < at; ++i) {
    if (bytes[i] == '\n') ++line;
    if (bytes[i] == '\r' && (i + 1 >= bytes.size() || bytes[i + 1] != '\n')) ++line;
  }
  return line;
}

// Where the first line lies that isn't text, for the message.
Where first_bad_line(std::string_view bytes, const std::string& name) {
  std::size_t begin = 0;
  while (begin < bytes.size()) {
    const std::size_t end = std::min(bytes.find_first_of("\r\n", begin), bytes.size());
    const std::string_view line = bytes.substr(begin, end - begin);
    if (line.find('\0') != std::string_view::npos || !is_utf8(line)) return {name, line_of(bytes, begin), {}};
    begin = end + 1;
  }
  return {name, 0, {}};
}

}  // namespace

Status check_text_file(std::string_view bytes, const std::string& name) {
  if (bytes.size() > most_bytes)
    return fail("csv.too_large", {name, 0, {}},
                {{"megabytes", static_cast<std::int64_t>(bytes.size() >> 20)}, {"most", std::int64_t{most_bytes >> 20}}});
  if (bytes.find('\0') != std::string_view::npos || !is_utf8(bytes)) return fail("csv.not_text", first_bad_line(bytes, name));
  return {};
}

Result<CsvScanner> CsvScanner::open(std::string_view bytes, const std::string& name, CsvForm form) {
  if (const Status text = check_text_file(bytes, name); !text) return fail(text.error());
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  CsvScanner scanner;
  scanner.bytes_ = bytes;
  scanner.name_ = name;
  for (int i = 0; i < form.lines_above && scanner.at_ < bytes.size(); ++i) {
    while (!scanner.at_line_end()) ++scanner.at_;
    scanner.pass_line_end();
  }
  const std::size_t first = bytes.find_first_not_of("\r\n", scanner.at_);
  if (first == std::string_view::npos) return fail("csv.empty", {name, 0, {}});
  scanner.delimiter_ =
      form.delimiter != '\0' ? form.delimiter : delimiter_of(bytes.substr(first, bytes.find_first_of("\r\n", first) - first));
  CsvCells row;
  if (const auto read = scanner.next_row(row); !read) return fail(read.error());
  scanner.header_line_ = row.line;
  bool named = false;
  for (const std::string_view cell : row.cells) {
    const std::string_view title = without_blanks(cell);
    if (!title.empty() && find_column(scanner.header_, title))
      return fail("csv.duplicate_column", {name, row.line, std::string(title)}, {{"column", std::string(title)}});
    scanner.header_.emplace_back(title);
    named = named || !title.empty();
  }
  if (!named) return fail("csv.empty", {name, 0, {}});
  return scanner;
}

std::optional<std::size_t> CsvScanner::column(std::string_view name) const { return find_column(header_, name); }

bool CsvScanner::at_line_end() const { return at_ >= bytes_.size() || bytes_[at_] == '\n' || bytes_[at_] == '\r'; }

void CsvScanner::pass_line_end() {
  if (at_ >= bytes_.size()) return;
  if (bytes_[at_] == '\r' && at_ + 1 < bytes_.size() && bytes_[at_ + 1] == '\n') ++at_;
  ++at_;
  ++line_;
}

Result<bool> CsvScanner::next(CsvCells& row) {
  const auto read = next_row(row);
  if (read && *read && row.cells.size() != header_.size())
    return fail("csv.row_length", {name_, row.line, {}},
                {{"found", static_cast<std::int64_t>(row.cells.size())}, {"expected", static_cast<std::int64_t>(header_.size())}});
  return read;
}

Result<bool> CsvScanner::next_row(CsvCells& row) {
  unquoted_.clear();
  row.cells.clear();
  while (at_ < bytes_.size() && at_line_end()) pass_line_end();
  if (at_ >= bytes_.size()) return false;
  row.line = line_;
  for (;;) {
    if (const Status cell = read_cell(row); !cell) return fail(cell.error());
    if (at_line_end()) break;
    ++at_;  // the delimiter
  }
  pass_line_end();
  return true;
}

Status CsvScanner::read_cell(CsvCells& row) {
  if (at_ < bytes_.size() && bytes_[at_] == '"') return read_quoted(row);
  // Locals, so that the loop stays in registers.
  const std::string_view rest = bytes_.substr(at_);
  const char delimiter = delimiter_;
  std::size_t length = 0;
  while (length < rest.size() && rest[length] != delimiter && rest[length] != '\n' && rest[length] != '\r') ++length;
  row.cells.push_back(rest.substr(0, length));
  at_ += length;
  return {};
}

Status CsvScanner::read_quoted(CsvCells& row) {
  std::string& text = unquoted_.emplace_back();
  for (++at_;; ++at_) {
    if (at_ >= bytes_.size()) return fail("csv.quote", {name_, row.line, {}});
    const char c = bytes_[at_];
    if (c == '"') {
      ++at_;
      if (at_ >= bytes_.size() || bytes_[at_] != '"') break;
    }
    if (c == '\n' || (c == '\r' && (at_ + 1 >= bytes_.size() || bytes_[at_ + 1] != '\n'))) ++line_;
    text += c;
  }
  if (!at_line_end() && bytes_[at_] != delimiter_) return fail("csv.quote", {name_, row.line, {}});
  row.cells.emplace_back(text);
  return {};
}

std::optional<std::size_t> CsvTable::column(std::string_view name) const { return find_column(header, name); }

Result<CsvTable> read_csv(std::string_view bytes, const std::string& name) {
  auto scanner = CsvScanner::open(bytes, name);
  if (!scanner) return fail(scanner.error());
  CsvTable table;
  table.header = scanner->header();
  CsvCells row;
  for (;;) {
    const auto more = scanner->next(row);
    if (!more) return fail(more.error());
    if (!*more) return table;
    table.rows.push_back({row.line, {row.cells.begin(), row.cells.end()}});
  }
}

std::string_view without_blanks(std::string_view cell) {
  const std::size_t begin = cell.find_first_not_of(" \t");
  if (begin == std::string_view::npos) return {};
  return cell.substr(begin, cell.find_last_not_of(" \t") - begin + 1);
}

bool is_missing(std::string_view cell) {
  cell = without_blanks(cell);
  if (cell.empty() || cell == "NA") return true;
  if (cell.front() != '-') return false;
  const auto value = parse_number(cell);
  return value && std::abs(*value + 9999.0) < 1e-9;
}

std::optional<double> parse_number(std::string_view cell) {
  cell = without_blanks(cell);
  if (cell.starts_with('+')) {
    cell.remove_prefix(1);
    if (cell.starts_with('-')) return std::nullopt;
  }
  double value = 0.0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc{} || end != cell.data() + cell.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace leafturn::io
