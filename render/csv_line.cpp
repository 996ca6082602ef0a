#include "render/csv_line.hpp"

#include "render/table.hpp"

namespace leafturn::render {
namespace {

std::string quoted(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + "\"";
}

bool digit(char c) { return c >= '0' && c <= '9'; }
bool formula(const std::string& cell) {
  if (cell.empty()) return false;
  if (cell[0] == '-') return cell.size() < 2 || !digit(cell[1]);
  return cell[0] == '=' || cell[0] == '+' || cell[0] == '@' || cell[0] == '\t' || cell[0] == '\r';
}

}  // namespace

void CsvLine::add(std::string cell) {
  if (formula(cell)) cell.insert(0, "'");
  text_ += (first_ ? "" : ",") + quoted(cell);
  first_ = false;
}

std::string plain_number(double value, int decimals) {
  std::string text = fixed(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace leafturn::render
