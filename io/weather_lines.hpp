#pragma once
/// Lines of a text, whatever ends them.

#include <cstddef>
#include <string_view>

namespace leafturn::io {

class Lines {
 public:
  explicit Lines(std::string_view text) : text_{text.starts_with("\xEF\xBB\xBF") ? text.substr(3) : text} {}
  /// False at the end. Blank lines are counted and passed over.
  bool next(std::string_view& line) {
    while (at_ < text_.size()) {
      const std::size_t end = text_.find_first_of("\r\n", at_);
      line = text_.substr(at_, end == std::string_view::npos ? end : end - at_);
      at_ += line.size();
      if (at_ < text_.size()) at_ += text_.substr(at_, 2) == "\r\n" ? std::size_t{2} : std::size_t{1};
      ++number_;
      if (line.find_first_not_of(" \t") != std::string_view::npos) return true;
    }
    return false;
  }
  int number() const { return number_; }

 private:
  std::string_view text_;
  std::size_t at_ = 0;
  int number_ = 0;
};

}  // namespace leafturn::io
