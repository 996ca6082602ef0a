#include "render/table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace leafturn::render {

std::size_t columns(std::string_view utf8) {
  return static_cast<std::size_t>(
      std::count_if(utf8.begin(), utf8.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::string padded(std::string_view text, std::size_t width, bool right) {
  const std::size_t has = columns(text);
  const std::string blanks(has < width ? width - has : 0, ' ');
  return right ? blanks + std::string(text) : std::string(text) + blanks;
}

std::string wrapped(std::string_view text, std::size_t width, std::size_t indent) {
  std::string out;
  std::size_t at = indent;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (word.empty()) continue;
    const std::size_t long_ = columns(word);
    if (at > indent && at + 1 + long_ > width) {
      out += "\n" + std::string(indent, ' ');
      at = indent;
    } else if (at > indent) {
      out += ' ';
      ++at;
    }
    out += word;
    at += long_;
  }
  return out;
}

void Table::column(std::string header, bool number) {
  headers_.push_back(std::move(header));
  number_.push_back(number);
}

void Table::row(std::vector<std::string> cells) {
  cells.resize(headers_.size());
  rows_.push_back(std::move(cells));
}

std::string Table::text(std::size_t indent) const {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < headers_.size(); ++c) {
    std::size_t width = columns(headers_[c]);
    for (const auto& row : rows_) width = std::max(width, columns(row[c]));
    widths.push_back(width);
  }
  const auto line = [&](const std::vector<std::string>& cells) {
    std::string out(indent, ' ');
    for (std::size_t c = 0; c < cells.size(); ++c) out += (c == 0 ? "" : "  ") + padded(cells[c], widths[c], number_[c]);
    out.erase(out.find_last_not_of(' ') + 1);
    return out + "\n";
  };
  std::string out = line(headers_);
  for (const auto& row : rows_) out += line(row);
  return out;
}

std::string fixed(double value, int decimals) {
  const std::string text = fmt::format("{:.{}f}", value, decimals);
  // −0.00 is no number that people write.
  return text[0] == '-' && text.find_first_of("123456789") == std::string::npos ? text.substr(1) : text;
}

}  // namespace leafturn::render
