#include "words/catalogue.hpp"

#include "words/clean_text.hpp"
#include "words/load_toml.hpp"
#include "words/template.hpp"

namespace leafturn::words {
namespace {

const std::string* find(std::string_view key, Language language) {
  const auto& entries = all(language);
  const auto it = entries.find(key);
  return it == entries.end() ? nullptr : &it->second;
}

std::string fill_key(const std::string& key, const std::vector<Fact>& facts, const Style& style) {
  const std::string* pattern = find(key, style.language);
  if (pattern == nullptr) return missing(key);
  return fill(*pattern, [&](std::string_view name) -> std::optional<std::string> {
    for (const auto& fact : facts)
      if (fact.name == name) return say_fact(fact.value, style);
    return std::nullopt;
  });
}

std::string say_where(const Where& where, const Style& style) {
  std::string out = clean_text(where.file);
  const auto add = [&](const std::string& part) {
    if (!part.empty()) out += (out.empty() ? "" : ", ") + part;
  };
  if (where.line > 0) add(fill_key("format.line", {{"n", std::int64_t{where.line}}}, style));
  add(clean_text(where.field));
  return out;
}

}  // namespace

std::optional<Language> parse_language(std::string_view code) {
  const std::string_view language = code.substr(0, code.find_first_of("-_."));
  if (language == "en") return Language::en;
  if (language == "es") return Language::es;
  return std::nullopt;
}

std::string_view code_for(Language language) { return language == Language::es ? "es" : "en"; }

const std::map<std::string, std::string, std::less<>>& all(Language language) {
  // Each read when first asked for: a command speaks one language, and should not wait for the other.
  if (language == Language::es) {
    static const Entries es = load_language("es").entries;
    return es;
  }
  static const Entries en = load_language("en").entries;
  return en;
}

bool has_key(std::string_view key, Language language) { return find(key, language) != nullptr; }

std::string say(const Reason& reason, const Style& style) { return fill_key(reason.code, reason.facts, style); }

std::string say_key(std::string_view key, const Style& style) {
  const std::string* text = find(key, style.language);
  return text == nullptr ? missing(key) : *text;
}

std::string say_error(const Error& error, const Style& style) {
  const std::string what = fill_key("error." + error.code + ".what", error.facts, style);
  const std::string todo = fill_key("error." + error.code + ".do", error.facts, style);
  const std::string where = say_where(error.where, style);
  return what + (where.empty() ? "" : " (" + where + ")") + ": " + todo;
}

}  // namespace leafturn::words
