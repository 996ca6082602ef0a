#include "io/card_toml.hpp"

#include <algorithm>
#include <sstream>
#include <utility>

#include "io/card_lines_toml.hpp"

namespace leafturn::io {
namespace {

using label::Stated;

constexpr std::size_t most_bytes = 256 * 1024;

class Reader {
 public:
  Reader(const toml::table& root, std::string file) : root_{root}, file_{file}, lines_{std::move(file)} {}

  CardDraft run() {
    const toml::node* card = root_.get("card");
    if (card == nullptr) {
      return {{}, {Error{"card.no_card_table", {file_, 1, "card"}, {}, ErrorKind::bad_input}}};
    }
    if (const toml::table* t = lines_.table(*card, "card")) head(*t);
    each_table("active", [&](const toml::table& t, const std::string& path) { active(t, path); });
    each_table("use", [&](const toml::table& t, const std::string& path) { card_.uses.push_back(read_use(t, path, lines_)); });
    for (const auto& [key, node] : root_) {
      if (key == "card" || key == "active" || key == "use") continue;
      // `[conditions]` and tables this reader doesn't know: one statement per line a person wrote.
      if (const toml::table* t = node.as_table()) {
        if (key == "conditions") card_.conditions = read_conditions(*t, lines_);
        for (const auto& [inner, value] : *t)
          if (!CardLines::says_none(value)) lines_.keep(std::string(key.str()) + "." + std::string(inner.str()), value);
      } else {
        lines_.keep(std::string(key.str()), node);
      }
    }
    card_.others = std::move(lines_.kept());
    std::sort(card_.others.begin(), card_.others.end(),
              [](const auto& a, const auto& b) { return std::pair{a.line, a.field} < std::pair{b.line, b.field}; });
    return {std::move(card_), lines_.errors()};
  }

 private:
  template <class Do>
  void each_table(const std::string& name, Do each) {
    const toml::node* node = root_.get(name);
    if (node == nullptr) return;
    const toml::array* list = node->as_array();
    if (list == nullptr) return lines_.wrong_type(*node, name, "tables");
    for (std::size_t i = 0; i < list->size(); ++i) {
      const std::string path = name + "[" + std::to_string(i + 1) + "]";
      if (const toml::table* t = list->get(i)->as_table())
        each(*t, path);
      else
        lines_.wrong_type(*list->get(i), path, "tables");
    }
  }

  void head(const toml::table& t) {
    const std::string path = "card";
    card_.product = lines_.text(t, "product", path);
    if (card_.product.find_first_not_of(" \t") == std::string::npos && (t.get("product") == nullptr || t.get("product")->is_string()))
      lines_.wrong("card.field_missing", t, "card.product");
    card_.registration = lines_.text(t, "registration", path);
    card_.copied_by = lines_.text(t, "copied_by", path);
    card_.copied_on = lines_.date(t, "copied_on", path);
    if (const auto whole = lines_.yes_no(t, "whole", path); whole.value() != nullptr) card_.whole = *whole.value();
    card_.label_version = lines_.text(t, "label_version", path);
    card_.label_date = lines_.date(t, "label_date", path);
    if (const toml::node* node = t.get("expires"); node != nullptr && CardLines::says_none(*node))
      card_.expires = Stated<Date>::none_stated();
    else if (const auto day = lines_.date(t, "expires", path))
      card_.expires = Stated<Date>::given(*day);
    card_.checked_by = lines_.text(t, "checked_by", path);
    card_.checked_on = lines_.date(t, "checked_on", path);
    using label::CardSetting;
    card_.setting = lines_.word<CardSetting>(
        t, "setting", path,
        {{"residential", CardSetting::residential}, {"agricultural", CardSetting::agricultural}, {"both", CardSetting::both}});
    card_.registered_in = lines_.list(t, "registered_in", path);
    card_.agricultural_use = lines_.yes_no(t, "agricultural_use", path);
    card_.exempt = lines_.yes_no(t, "exempt", path);
    signal(t, path);
    card_.restricted_use = lines_.yes_no(t, "restricted_use", path);
    card_.organic_listed = lines_.yes_no(t, "organic_listed", path);
    card_.organic_lister = lines_.text(t, "organic_lister", path);
    card_.ppe_handler = lines_.list(t, "ppe_handler", path);
    card_.ppe_early_entry = lines_.list(t, "ppe_early_entry", path);
    card_.first_aid = lines_.words(t, "first_aid", path);
    card_.emergency = lines_.words(t, "emergency", path);
    card_.storage = lines_.words(t, "storage", path);
    card_.disposal = lines_.words(t, "disposal", path);
    lines_.keep_unknown(t, path, {"product",         "registration",   "copied_by",        "copied_on",      "whole",
                                  "label_version",   "label_date",     "expires",          "checked_by",     "checked_on",
                                  "setting",         "registered_in",  "agricultural_use", "exempt",         "signal_word",
                                  "signal_system",   "restricted_use", "organic_listed",   "organic_lister", "ppe_handler",
                                  "ppe_early_entry", "first_aid",      "emergency",        "storage",        "disposal"});
  }

  /// `DANGER` means one thing in the US and another in the EU, so the system stands beside the word; left out, it is the US one.
  void signal(const toml::table& t, const std::string& path) {
    using System = label::Signal::System;
    using Word = label::Signal::Word;
    const auto system = lines_.word<System>(t, "signal_system", path, {{"epa", System::epa}, {"clp", System::clp}});
    const System used = system.value() == nullptr ? System::epa : *system.value();
    const auto word = used == System::epa
                          ? lines_.word<Word>(t, "signal_word", path,
                                              {{"DANGER-POISON", Word::danger_poison},
                                               {"DANGER", Word::danger},
                                               {"WARNING", Word::warning},
                                               {"CAUTION", Word::caution}})
                          : lines_.word<Word>(t, "signal_word", path, {{"DANGER", Word::danger}, {"WARNING", Word::warning}});
    if (word.says_none()) card_.signal = Stated<label::Signal>::none_stated();
    if (word.value() != nullptr) card_.signal = Stated<label::Signal>::given({used, *word.value()});
  }

  void active(const toml::table& t, const std::string& path) {
    label::Active a{lines_.text(t, "name", path), lines_.text(t, "content", path), lines_.text(t, "mode_of_action", path)};
    if (a.name.empty()) lines_.wrong("card.field_missing", t, path + ".name");
    card_.actives.push_back(std::move(a));
    lines_.keep_unknown(t, path, {"name", "content", "mode_of_action"});
  }

  const toml::table& root_;
  std::string file_;
  CardLines lines_;
  label::Card card_;
};

}  // namespace

CardDraft draft_card_toml(std::string_view bytes, const std::string& name) {
  if (bytes.size() > most_bytes)
    return {{}, {Error{"card.too_large", {name, 0, {}}, {{"most_kb", std::int64_t{most_bytes / 1024}}}, ErrorKind::bad_input}}};
  try {
    return Reader(toml::parse(bytes, name), name).run();
  } catch (const toml::parse_error& e) {
    return {{},
            {Error{"card.not_toml",
                   {name, static_cast<int>(e.source().begin.line), {}},
                   {{"why", std::string(e.description())}},
                   ErrorKind::bad_input}}};
  }
}

std::string card_as_json(std::string_view bytes) {
  if (bytes.size() > most_bytes) return "null";
  try {
    const toml::table table = toml::parse(bytes);
    std::ostringstream out;
    out << toml::json_formatter{table};
    return out.str();
  } catch (const toml::parse_error&) {
    return "null";
  }
}

Result<label::Card> read_card_toml(std::string_view bytes, const std::string& name) {
  CardDraft draft = draft_card_toml(bytes, name);
  if (!draft.errors.empty()) return fail(std::move(draft.errors.front()));
  return std::move(draft.card);
}

}  // namespace leafturn::io
