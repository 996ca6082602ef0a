#pragma once
/// Text for a terminal: columns that line up whatever the letters, and lines that end before the edge.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace leafturn::render {

/// Characters of UTF-8 text, each taken as one column wide.
std::size_t columns(std::string_view utf8);
/// Filled with blanks on the right, or on the left for numbers.
std::string padded(std::string_view text, std::size_t width, bool right = false);
/// Broken at blanks so that no line is longer than `width`; lines after the first start with `indent` blanks, and the first is taken to
/// start there.
std::string wrapped(std::string_view text, std::size_t width, std::size_t indent);

/// A table with a header line. Columns whose header is added with `number` are set to the right.
class Table {
 public:
  void column(std::string header, bool number = false);
  void row(std::vector<std::string> cells);
  std::string text(std::size_t indent = 0) const;

 private:
  std::vector<std::string> headers_;
  std::vector<bool> number_;
  std::vector<std::vector<std::string>> rows_;
};

/// `value` with `decimals` digits and a decimal point.
std::string fixed(double value, int decimals);

}  // namespace leafturn::render
