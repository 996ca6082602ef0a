#pragma once
/// A line of comma-separated values (RFC 4180).

#include <string>

namespace leafturn::render {

class CsvLine {
 public:
  /// A text that a spreadsheet would take for a formula gets an apostrophe before it, so that opening a record runs nothing.
  void add(std::string cell);
  /// The line with its end.
  std::string end() const { return text_ + "\r\n"; }

 private:
  std::string text_;
  bool first_ = true;
};

/// `value` with at most so many decimals and no zeros at its end.
std::string plain_number(double value, int decimals);

}  // namespace leafturn::render
