#pragma once
/// What the pages about pests and about actives share. Inside render.

#include <fmt/format.h>

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/pest/known.hpp"
#include "render/names.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

inline std::string number(double value) { return fmt::format("{:.4g}", value); }

inline std::string range(double low, double high) { return low < high ? number(low) + "–" + number(high) : number(low); }

/// A page in the making: sections, and the numbers under which sources are listed at its end.
class Page {
 public:
  explicit Page(const words::Style& style) : style_{style} {}

  std::string word(std::string_view key) const { return words::say_key(key, style_); }
  std::string stage(std::string_view key) const { return stage_name(key, style_); }
  std::string crops(const std::vector<std::string>& codes) const {
    std::string names;
    for (const auto& code : codes) names += (names.empty() ? "" : ", ") + crop_name(code, style_);
    return names.empty() ? word("pest_page.every_host") : names;
  }
  /// How it is known and where it stands in the list, with its note.
  std::string cite(const pest::Source& source) {
    auto [at, added] = numbers_.try_emplace(source.citation, numbers_.size() + 1);
    if (added) citations_.push_back(source.citation);
    const std::string known(pest::word_for(source.known));
    return phrase("known." + known, known, style_) + " [" + std::to_string(at->second) + "]" +
           (source.note.empty() ? "" : ": " + cell(source.note));
  }
  static std::string cell(std::string text) {
    for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; at += 2) text.replace(at, 1, "\\|");
    return text;
  }

  void heading(std::string_view key) { out += "\n## " + word(key) + "\n\n"; }
  void table(const std::vector<std::string>& columns) {
    std::string rule = "|";
    out += "|";
    for (const auto& column : columns) {
      out += " " + (column.empty() ? " " : word(column)) + " |";
      rule += "---|";
    }
    out += "\n" + rule + "\n";
  }
  void row(const std::vector<std::string>& cells) {
    out += "|";
    for (const auto& text : cells) out += " " + text + " |";
    out += "\n";
  }
  void sources() {
    heading("pest_page.sources");
    for (std::size_t i = 0; i < citations_.size(); ++i) out += fmt::format("{}. {}\n", i + 1, citations_[i]);
  }

  std::string out;

 private:
  const words::Style& style_;
  std::map<std::string, std::size_t> numbers_;
  std::vector<std::string> citations_;
};

}  // namespace leafturn::render
