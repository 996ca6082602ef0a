#include "words/template.hpp"

namespace leafturn::words {
namespace {

bool is_lower(char c) { return c >= 'a' && c <= 'z'; }
bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }
char lower(char c) { return is_upper(c) ? static_cast<char>(c - 'A' + 'a') : c; }

bool is_name(std::string_view text) {
  if (text.empty() || !(is_lower(text[0]) || is_upper(text[0]))) return false;
  for (char c : text.substr(1))
    if (!is_lower(c) && c != '_' && !(c >= '0' && c <= '9')) return false;
  return true;
}

/// Position of `wanted` at this level of braces from `from` on, or npos.
std::size_t find_at_level(std::string_view text, char wanted, std::size_t from) {
  int depth = 0;
  for (std::size_t i = from; i < text.size(); ++i) {
    if (depth == 0 && text[i] == wanted) return i;
    if (text[i] == '{') ++depth;
    if (text[i] == '}' && --depth < 0) return std::string_view::npos;
  }
  return std::string_view::npos;
}

/// What stands between a pair of braces.
struct Slot {
  std::string name;
  bool capital = false;
  bool choice = false;
  std::string_view one, many;
};

std::optional<Slot> parse_slot(std::string_view inside) {
  Slot slot;
  const std::size_t mark = inside.find('?');
  std::string_view name = inside.substr(0, mark);
  if (!is_name(name)) return std::nullopt;
  slot.capital = is_upper(name[0]);
  slot.name = std::string(name);
  slot.name[0] = lower(slot.name[0]);
  if (mark == std::string_view::npos) return slot;
  slot.choice = true;
  const std::string_view sides = inside.substr(mark + 1);
  const std::size_t bar = find_at_level(sides, '|', 0);
  if (bar == std::string_view::npos) return std::nullopt;
  slot.one = sides.substr(0, bar);
  slot.many = sides.substr(bar + 1);
  if (find_at_level(slot.many, '|', 0) != std::string_view::npos) return std::nullopt;
  return slot;
}

/// Walks a template: `text` gets the plain stretches, `slot` the slots. False when it isn't well formed.
template <class Text, class OnSlot>
bool walk(std::string_view pattern, Text text, OnSlot on_slot) {
  std::size_t at = 0;
  while (at < pattern.size()) {
    const std::size_t open = pattern.find_first_of("{}", at);
    text(pattern.substr(at, open - at));
    if (open == std::string_view::npos) return true;
    if (pattern[open] == '}') return false;
    const std::size_t close = find_at_level(pattern, '}', open + 1);
    if (close == std::string_view::npos) return false;
    const auto slot = parse_slot(pattern.substr(open + 1, close - open - 1));
    if (!slot || !on_slot(*slot)) return false;
    at = close + 1;
  }
  return true;
}

bool collect(std::string_view pattern, std::set<std::string>& names) {
  return walk(
      pattern, [](std::string_view) {},
      [&](const Slot& slot) {
        names.insert(slot.name);
        return !slot.choice || (collect(slot.one, names) && collect(slot.many, names));
      });
}

}  // namespace

std::string missing(std::string_view name) { return "⟦" + std::string(name) + "⟧"; }

std::string with_capital(std::string text) {
  if (text.empty()) return text;
  if (is_lower(text[0])) {
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  } else if (text.size() > 1 && text[0] == '\xC3') {
    // U+00E0–U+00FE are the small forms of U+00C0–U+00DE, but for the division sign.
    const auto low = static_cast<unsigned char>(text[1]);
    if (low >= 0xA0 && low <= 0xBE && low != 0xB7) text[1] = static_cast<char>(low - 0x20);
  }
  return text;
}

std::string fill(std::string_view pattern, const Lookup& lookup) {
  std::string out;
  const bool good = walk(
      pattern, [&](std::string_view text) { out += text; },
      [&](const Slot& slot) {
        const auto value = lookup(slot.name);
        if (!value) {
          out += missing(slot.name);
        } else if (slot.choice) {
          out += fill(*value == "1" ? slot.one : slot.many, lookup);
        } else {
          out += slot.capital ? with_capital(*value) : *value;
        }
        return true;
      });
  return good ? out : missing(pattern);
}

std::optional<std::set<std::string>> facts_of(std::string_view pattern) {
  std::set<std::string> names;
  if (!collect(pattern, names)) return std::nullopt;
  return names;
}

}  // namespace leafturn::words
