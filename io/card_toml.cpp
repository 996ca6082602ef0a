#include "io/card_toml.hpp"

#include <toml++/toml.h>
#include <algorithm>
#include <cmath>
#include <optional>
#include <sstream>
#include <utility>

#include "core/base/text.hpp"

namespace leafturn::io {
namespace {

using label::Stated;

constexpr std::size_t most_bytes = 256 * 1024;
constexpr std::size_t most_text_bytes = 80;
constexpr std::string_view none_word = "none-stated";

/// First thing wrong. Reading goes on with defaults until someone looks, which keeps the reading below free of branches.
class Reader {
 public:
  Reader(const toml::table& root, std::string file) : root_{root}, file_{std::move(file)} {}

  Result<label::Card> run() {
    const toml::node* card = root_.get("card");
    if (card == nullptr) return fail("card.no_card_table", {file_, 1, "card"});
    if (const toml::table* t = table(*card, "card")) head(*t);
    each_table("active", [&](const toml::table& t, const std::string& path) { active(t, path); });
    each_table("use", [&](const toml::table& t, const std::string& path) { use(t, path); });
    for (const auto& [key, node] : root_) {
      if (key == "card" || key == "active" || key == "use") continue;
      // `[conditions]` and tables this reader doesn't know: one statement per line a person wrote.
      if (const toml::table* t = node.as_table()) {
        for (const auto& [inner, value] : *t) other(std::string(key.str()) + "." + std::string(inner.str()), value);
      } else {
        other(std::string(key.str()), node);
      }
    }
    std::sort(card_.others.begin(), card_.others.end(),
              [](const auto& a, const auto& b) { return std::pair{a.line, a.field} < std::pair{b.line, b.field}; });
    if (error_) return fail(std::move(*error_));
    return std::move(card_);
  }

 private:
  static int line_of(const toml::node& node) { return static_cast<int>(node.source().begin.line); }

  void wrong(std::string code, const toml::node& at, const std::string& field, std::vector<Fact> facts = {}) {
    if (!error_) error_ = Error{std::move(code), {file_, line_of(at), field}, std::move(facts), ErrorKind::bad_input};
  }
  void wrong_type(const toml::node& at, const std::string& field, std::string_view wanted) {
    wrong("card.wrong_type", at, field, {{"wanted", Term{"label.wanted." + std::string(wanted)}}});
  }

  const toml::table* table(const toml::node& node, const std::string& field) {
    const toml::table* t = node.as_table();
    if (t == nullptr) wrong_type(node, field, "table");
    return t;
  }

  template <class Do>
  void each_table(const std::string& name, Do each) {
    const toml::node* node = root_.get(name);
    if (node == nullptr) return;
    const toml::array* list = node->as_array();
    if (list == nullptr) return wrong_type(*node, name, "tables");
    for (std::size_t i = 0; i < list->size(); ++i) {
      const std::string path = name + "[" + std::to_string(i + 1) + "]";
      if (const toml::table* t = list->get(i)->as_table())
        each(*t, path);
      else
        wrong_type(*list->get(i), path, "tables");
    }
  }

  void other(const std::string& field, const toml::node& node) {
    std::ostringstream text;
    if (const auto* s = node.as_string())
      text << s->get();
    else
      node.visit([&](const auto& value) { text << value; });
    card_.others.push_back({field, text.str(), line_of(node)});
  }

  /// Text of a key; empty when it is absent.
  std::string text(const toml::table& t, std::string_view key, const std::string& path) {
    const toml::node* node = t.get(key);
    if (node == nullptr) return {};
    const auto* s = node->as_string();
    if (s == nullptr) {
      wrong_type(*node, path + "." + std::string(key), "text");
      return {};
    }
    if (s->get().size() > most_text_bytes || !is_plain_text(s->get())) wrong_type(*node, path + "." + std::string(key), "short_text");
    return s->get();
  }

  void keep_unknown(const toml::table& t, const std::string& path, std::initializer_list<std::string_view> known) {
    for (const auto& [key, node] : t)
      if (std::find(known.begin(), known.end(), key.str()) == known.end()) other(path + "." + std::string(key.str()), node);
  }

  static std::string head_field(std::string_view key) { return "card." + std::string(key); }

  void head(const toml::table& t) {
    card_.product = text(t, "product", "card");
    if (card_.product.find_first_not_of(" \t") == std::string::npos) wrong("card.field_missing", t, head_field("product"));
    card_.registration = text(t, "registration", "card");
    card_.copied_by = text(t, "copied_by", "card");
    if (const std::string word = text(t, "setting", "card"); word == none_word)
      card_.setting = Stated<label::CardSetting>::none_stated();
    else if (word == "residential")
      card_.setting = Stated<label::CardSetting>::given(label::CardSetting::residential);
    else if (word == "agricultural")
      card_.setting = Stated<label::CardSetting>::given(label::CardSetting::agricultural);
    else if (word == "both")
      card_.setting = Stated<label::CardSetting>::given(label::CardSetting::both);
    else if (const toml::node* node = t.get("setting"))
      wrong("card.unknown_word", *node, head_field("setting"),
            {{"word", word}, {"words", std::string("residential, agricultural, both, none-stated")}});
    if (const toml::node* node = t.get("copied_on")) {
      if (const auto* d = node->as_date())
        card_.copied_on = Date::from_ymd(d->get().year, d->get().month, d->get().day);
      else if (const auto* s = node->as_string())
        card_.copied_on = Date::parse(s->get());
      if (!card_.copied_on) wrong_type(*node, head_field("copied_on"), "date");
    }
    keep_unknown(t, "card", {"product", "registration", "setting", "copied_by", "copied_on"});
  }

  void active(const toml::table& t, const std::string& path) {
    label::Active a{text(t, "name", path), text(t, "content", path), text(t, "mode_of_action", path)};
    if (a.name.empty()) wrong("card.field_missing", t, path + ".name");
    card_.actives.push_back(std::move(a));
    keep_unknown(t, path, {"name", "content", "mode_of_action"});
  }

  /// `BRSOK`, or `group:4-16B` where a list may name groups.
  void code(const toml::node& node, const std::string& field, bool groups, std::vector<std::string>& into) {
    const auto* s = node.as_string();
    if (s == nullptr) return wrong_type(node, field, "codes");
    std::string word = s->get();
    const bool group = groups && word.starts_with("group:");
    const std::size_t start = group ? 6 : 0;
    for (std::size_t i = start; i < word.size(); ++i)
      if (word[i] >= 'a' && word[i] <= 'z') word[i] = static_cast<char>(word[i] - 'a' + 'A');
    const auto good = [&](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || (group && c == '-'); };
    const std::size_t length = word.size() - start;
    const bool long_enough = group ? length >= 1 && length <= 12 : length == 5 || length == 6;
    if (!long_enough || !std::all_of(word.begin() + static_cast<std::ptrdiff_t>(start), word.end(), good))
      return wrong("card.crop_unreadable", node, field, {{"crop", s->get()}});
    into.push_back(std::move(word));
  }

  void codes(const toml::table& t, std::string_view key, const std::string& path, bool groups, std::vector<std::string>& into) {
    const toml::node* node = t.get(key);
    if (node == nullptr) return;
    const std::string field = path + "." + std::string(key);
    if (const toml::array* list = node->as_array()) {
      for (const toml::node& item : *list) code(item, field, groups, into);
    } else {
      code(*node, field, groups, into);
    }
  }

  Stated<label::ProductRate> bound(const toml::node& node, const std::string& field) {
    const auto* s = node.as_string();
    if (s == nullptr) {
      wrong_type(node, field, "rate");
      return {};
    }
    if (s->get() == none_word) return Stated<label::ProductRate>::none_stated();
    auto rate = label::parse_rate(s->get());
    if (rate) return Stated<label::ProductRate>::given(std::move(*rate));
    wrong(rate.error().code, node, field, rate.error().facts);
    return {};
  }

  void rate(const toml::node& node, const std::string& field, label::Use& u) {
    const toml::table* t = node.as_table();
    if (t == nullptr) {
      u.rate_min = u.rate_max = bound(node, field);
      return;
    }
    if (const toml::node* low = t->get("min")) u.rate_min = bound(*low, field + ".min");
    if (const toml::node* high = t->get("max")) u.rate_max = bound(*high, field + ".max");
    keep_unknown(*t, field, {"min", "max"});
    const label::ProductRate* low = u.rate_min.value();
    const label::ProductRate* high = u.rate_max.value();
    if (low == nullptr || high == nullptr) return;
    const std::vector<Fact> facts = {{"min", low->as_given}, {"max", high->as_given}};
    if (low->basis != high->basis) return wrong("card.rate_bases_differ", node, field, facts);
    if (low->value > high->value * (1.0 + 1e-9)) wrong("card.min_above_max", node, field, facts);
  }

  /// A number from 0 to `most`, or 'none-stated'.
  Stated<double> number(const toml::node& node, const std::string& field, double most, std::string_view wanted) {
    if (const auto* s = node.as_string(); s != nullptr && s->get() == none_word) return Stated<double>::none_stated();
    const auto value = node.is_number() ? node.value<double>() : std::nullopt;
    if (!value) {
      wrong_type(node, field, wanted);
      return {};
    }
    if (!(*value >= 0.0 && *value <= most)) {
      wrong("card.impossible", node, field, {{"value", number_text(*value)}, {"most", Number{most, 0}}});
      return {};
    }
    return Stated<double>::given(*value);
  }
  static std::string number_text(double value) {
    std::ostringstream text;
    text << value;
    return text.str();
  }

  void use(const toml::table& t, const std::string& path) {
    label::Use u;
    u.line = line_of(t);
    codes(t, "crops", path, true, u.crops);
    codes(t, "except", path, false, u.except);
    if (u.crops.empty()) wrong("card.field_missing", t, path + ".crops");
    if (const toml::node* node = t.get("rate")) rate(*node, path + ".rate", u);
    constexpr double ten_years = 3650.0;
    if (const toml::node* node = t.get("pre_harvest_days"))
      u.pre_harvest_days = number(*node, path + ".pre_harvest_days", ten_years, "days");
    if (const toml::node* node = t.get("interval_days")) u.interval_days = number(*node, path + ".interval_days", ten_years, "days");
    if (const toml::node* node = t.get("reentry_hours")) {
      const auto* s = node->as_string();
      if (s != nullptr && s->get() == "until-dry") {
        u.reentry = Stated<label::Reentry>::given({0.0, true});
      } else {
        const Stated<double> hours = number(*node, path + ".reentry_hours", 8784.0, "reentry");
        if (hours.says_none()) u.reentry = Stated<label::Reentry>::none_stated();
        if (const double* h = hours.value()) u.reentry = Stated<label::Reentry>::given({*h, false});
      }
    }
    if (const toml::node* node = t.get("max_applications")) {
      const std::string field = path + ".max_applications";
      const Stated<double> most = number(*node, field, 1000.0, "count");
      if (most.says_none()) u.max_applications = Stated<int>::none_stated();
      if (const double* n = most.value()) {
        if (*n < 1.0 || *n > std::floor(*n)) wrong_type(*node, field, "count");
        u.max_applications = Stated<int>::given(static_cast<int>(*n));
      }
    }
    keep_unknown(t, path, {"crops", "except", "rate", "pre_harvest_days", "reentry_hours", "interval_days", "max_applications"});
    card_.uses.push_back(std::move(u));
  }

  const toml::table& root_;
  std::string file_;
  label::Card card_;
  std::optional<Error> error_;
};

}  // namespace

Result<label::Card> read_card_toml(std::string_view bytes, const std::string& name) {
  if (bytes.size() > most_bytes) return fail("card.too_large", {name, 0, {}}, {{"most_kb", std::int64_t{most_bytes / 1024}}});
  try {
    return Reader(toml::parse(bytes, name), name).run();
  } catch (const toml::parse_error& e) {
    return fail("card.not_toml", {name, static_cast<int>(e.source().begin.line), {}}, {{"why", std::string(e.description())}});
  }
}

}  // namespace leafturn::io
