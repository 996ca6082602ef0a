#include "io/card_lines_toml.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "core/base/text.hpp"

namespace leafturn::io {
namespace {

using label::Stated;

constexpr std::size_t most_text_bytes = 80;
constexpr std::size_t most_words_bytes = 4000;

std::string number_text(double value) {
  std::ostringstream text;
  text << value;
  return text.str();
}

std::string inside(const std::string& path, std::string_view key) { return path + "." + std::string(key); }

}  // namespace

bool CardLines::says_none(const toml::node& node) {
  const auto* s = node.as_string();
  return s != nullptr && s->get() == none_word;
}

void CardLines::wrong(std::string code, const toml::node& at, const std::string& field, std::vector<Fact> facts) {
  errors_.push_back({std::move(code), {file_, line_of(at), field}, std::move(facts), ErrorKind::bad_input});
}

void CardLines::wrong_type(const toml::node& at, const std::string& field, std::string_view wanted) {
  wrong("card.wrong_type", at, field, {{"wanted", Term{"label.wanted." + std::string(wanted)}}});
}

const toml::table* CardLines::table(const toml::node& node, const std::string& field) {
  const toml::table* t = node.as_table();
  if (t == nullptr) wrong_type(node, field, "table");
  return t;
}

std::string CardLines::text(const toml::table& t, std::string_view key, const std::string& path) {
  const toml::node* node = t.get(key);
  if (node == nullptr) return {};
  const auto* s = node->as_string();
  if (s == nullptr) {
    wrong_type(*node, inside(path, key), "text");
    return {};
  }
  if (s->get().size() > most_text_bytes || !is_plain_text(s->get())) wrong_type(*node, inside(path, key), "short_text");
  return s->get();
}

Stated<std::string> CardLines::words(const toml::table& t, std::string_view key, const std::string& path) {
  const toml::node* node = t.get(key);
  if (node == nullptr) return {};
  if (says_none(*node)) return Stated<std::string>::none_stated();
  const auto* s = node->as_string();
  if (s == nullptr || s->get().empty() || s->get().size() > most_words_bytes || !is_plain_text(s->get(), true)) {
    wrong_type(*node, inside(path, key), "words");
    return {};
  }
  return Stated<std::string>::given(s->get());
}

Stated<std::vector<std::string>> CardLines::list(const toml::table& t, std::string_view key, const std::string& path) {
  const toml::node* node = t.get(key);
  if (node == nullptr) return {};
  if (says_none(*node)) return Stated<std::vector<std::string>>::none_stated();
  std::vector<std::string> found;
  const auto take = [&](const toml::node& item) {
    const auto* s = item.as_string();
    const bool good = s != nullptr && !s->get().empty() && s->get().size() <= most_text_bytes && is_plain_text(s->get());
    if (good)
      found.push_back(s->get());
    else
      wrong_type(item, inside(path, key), "list");
  };
  if (const toml::array* items = node->as_array())
    for (const toml::node& item : *items) take(item);
  else
    take(*node);
  if (found.empty()) {
    if (errors_.empty() || errors_.back().where.field != inside(path, key)) wrong_type(*node, inside(path, key), "list");
    return {};
  }
  return Stated<std::vector<std::string>>::given(std::move(found));
}

Stated<bool> CardLines::yes_no(const toml::table& t, std::string_view key, const std::string& path) {
  const toml::node* node = t.get(key);
  if (node == nullptr) return {};
  if (says_none(*node)) return Stated<bool>::none_stated();
  if (const auto* b = node->as_boolean()) return Stated<bool>::given(b->get());
  wrong_type(*node, inside(path, key), "yes_no");
  return {};
}

std::optional<Date> CardLines::date(const toml::table& t, std::string_view key, const std::string& path) {
  const toml::node* node = t.get(key);
  if (node == nullptr) return std::nullopt;
  std::optional<Date> found;
  if (const auto* d = node->as_date())
    found = Date::from_ymd(d->get().year, d->get().month, d->get().day);
  else if (const auto* s = node->as_string())
    found = Date::parse(s->get());
  if (!found) wrong_type(*node, inside(path, key), "date");
  return found;
}

Stated<double> CardLines::number(const toml::node& node, const std::string& field, double least, double most, std::string_view wanted) {
  if (says_none(node)) return Stated<double>::none_stated();
  const auto value = node.is_number() ? node.value<double>() : std::nullopt;
  if (!value) {
    wrong_type(node, field, wanted);
    return {};
  }
  if (!(*value >= least && *value <= most)) {
    wrong("card.impossible", node, field, {{"value", number_text(*value)}, {"least", Number{least, 0}}, {"most", Number{most, 0}}});
    return {};
  }
  return Stated<double>::given(*value);
}

Stated<double> CardLines::number(const toml::table& t, std::string_view key, const std::string& path, double most,
                                 std::string_view wanted) {
  const toml::node* node = t.get(key);
  return node == nullptr ? Stated<double>{} : number(*node, inside(path, key), 0.0, most, wanted);
}

Stated<int> CardLines::count(const toml::table& t, std::string_view key, const std::string& path) {
  const Stated<double> most = number(t, key, path, 1000.0, "count");
  if (most.says_none()) return Stated<int>::none_stated();
  const double* n = most.value();
  if (n == nullptr) return {};
  if (*n < 1.0 || *n > std::floor(*n)) {
    wrong_type(*t.get(key), inside(path, key), "count");
    return {};
  }
  return Stated<int>::given(static_cast<int>(*n));
}

Stated<label::ProductRate> CardLines::rate(const toml::node& node, const std::string& field) {
  const auto* s = node.as_string();
  if (s == nullptr) {
    wrong_type(node, field, "rate");
    return {};
  }
  if (s->get() == none_word) return Stated<label::ProductRate>::none_stated();
  auto read = label::parse_rate(s->get());
  if (read) return Stated<label::ProductRate>::given(std::move(*read));
  wrong(read.error().code, node, field, read.error().facts);
  return {};
}

std::optional<std::string> CardLines::code(const toml::node& node, const std::string& field, bool groups) {
  const auto* s = node.as_string();
  if (s == nullptr) {
    wrong_type(node, field, "codes");
    return std::nullopt;
  }
  std::string word = s->get();
  const bool group = groups && word.starts_with("group:");
  const std::size_t start = group ? 6 : 0;
  for (std::size_t i = start; i < word.size(); ++i)
    if (word[i] >= 'a' && word[i] <= 'z') word[i] = static_cast<char>(word[i] - 'a' + 'A');
  const auto good = [&](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || (group && c == '-'); };
  const std::size_t length = word.size() - start;
  const bool long_enough = group ? length >= 1 && length <= 12 : length == 5 || length == 6;
  if (long_enough && std::all_of(word.begin() + static_cast<std::ptrdiff_t>(start), word.end(), good)) return word;
  wrong("card.crop_unreadable", node, field, {{"crop", s->get()}});
  return std::nullopt;
}

void CardLines::codes(const toml::table& t, std::string_view key, const std::string& path, bool groups, std::vector<std::string>& into) {
  const toml::node* node = t.get(key);
  if (node == nullptr) return;
  const auto take = [&](const toml::node& item) {
    if (auto word = code(item, inside(path, key), groups)) into.push_back(std::move(*word));
  };
  if (const toml::array* items = node->as_array())
    for (const toml::node& item : *items) take(item);
  else
    take(*node);
}

void CardLines::keep(const std::string& field, const toml::node& node) {
  std::ostringstream text;
  if (const auto* s = node.as_string())
    text << s->get();
  else
    node.visit([&](const auto& value) { text << value; });
  kept_.push_back({field, text.str(), line_of(node)});
}

void CardLines::keep_unknown(const toml::table& t, const std::string& path, std::initializer_list<std::string_view> known) {
  for (const auto& [key, node] : t)
    if (std::find(known.begin(), known.end(), key.str()) == known.end()) keep(inside(path, key.str()), node);
}

}  // namespace leafturn::io
