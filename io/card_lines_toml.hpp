#pragma once
/// Reading the lines of a card: typed values out of TOML nodes, and what was wrong with them, line by line. Only io/card_*.cpp include
/// this.

#include <toml++/toml.h>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/base/result.hpp"
#include "core/label/card.hpp"

namespace leafturn::io {

inline constexpr std::string_view none_word = "none-stated";

/// A word of a card's file and what it means.
template <class Value>
using WordsFor = std::initializer_list<std::pair<std::string_view, Value>>;

/// Everything wrong is kept, in the order it is found; reading goes on with 'not copied', which keeps the readers free of branches.
class CardLines {
 public:
  explicit CardLines(std::string file) : file_{std::move(file)} {}

  static int line_of(const toml::node& node) { return static_cast<int>(node.source().begin.line); }
  static bool says_none(const toml::node& node);

  void wrong(std::string code, const toml::node& at, const std::string& field, std::vector<Fact> facts = {});
  /// `wanted`: a key under `label.wanted`.
  void wrong_type(const toml::node& at, const std::string& field, std::string_view wanted);
  const std::vector<Error>& errors() const { return errors_; }

  const toml::table* table(const toml::node& node, const std::string& field);
  /// A key's text, one line; empty when the key is absent.
  std::string text(const toml::table& t, std::string_view key, const std::string& path);
  /// A longer text, of several lines perhaps, or 'none-stated'.
  label::Stated<std::string> words(const toml::table& t, std::string_view key, const std::string& path);
  label::Stated<std::vector<std::string>> list(const toml::table& t, std::string_view key, const std::string& path);
  label::Stated<bool> yes_no(const toml::table& t, std::string_view key, const std::string& path);
  std::optional<Date> date(const toml::table& t, std::string_view key, const std::string& path);
  /// From `least` to `most`, or 'none-stated'.
  label::Stated<double> number(const toml::node& node, const std::string& field, double least, double most, std::string_view wanted);
  label::Stated<double> number(const toml::table& t, std::string_view key, const std::string& path, double most, std::string_view wanted);
  /// A whole number from 1.
  label::Stated<int> count(const toml::table& t, std::string_view key, const std::string& path);
  label::Stated<label::ProductRate> rate(const toml::node& node, const std::string& field);
  /// EPPO codes, and `group:4-16B` where `groups`.
  void codes(const toml::table& t, std::string_view key, const std::string& path, bool groups, std::vector<std::string>& into);
  std::optional<std::string> code(const toml::node& node, const std::string& field, bool groups);

  /// One of `known`, or 'none-stated'.
  template <class Value>
  label::Stated<Value> word(const toml::table& t, std::string_view key, const std::string& path, WordsFor<Value> known) {
    const toml::node* node = t.get(key);
    if (node == nullptr) return {};
    if (says_none(*node)) return label::Stated<Value>::none_stated();
    const std::string field = path + "." + std::string(key);
    const auto* s = node->as_string();
    if (s == nullptr) {
      wrong_type(*node, field, "text");
      return {};
    }
    std::string all;
    for (const auto& [said, value] : known) {
      if (said == s->get()) return label::Stated<Value>::given(value);
      all += std::string(said) + ", ";
    }
    wrong("card.unknown_word", *node, field, {{"word", s->get()}, {"words", all + std::string(none_word)}});
    return {};
  }

  /// A key nobody asked for is kept as a statement.
  void keep_unknown(const toml::table& t, const std::string& path, std::initializer_list<std::string_view> known);
  void keep(const std::string& field, const toml::node& node);
  std::vector<label::OtherStatement>& kept() { return kept_; }

 private:
  std::string file_;
  std::vector<Error> errors_;
  std::vector<label::OtherStatement> kept_;
};

/// One block of directions.
label::Use read_use(const toml::table& t, const std::string& path, CardLines& lines);
/// `[conditions]`.
label::Conditions read_conditions(const toml::table& t, CardLines& lines);

}  // namespace leafturn::io
