#pragma once
/// Every sentence people read, in every language (words/LANGUAGE/TOPIC.toml). Core returns codes and facts; this turns them into sentences.
///
/// A template names its facts in braces: `{bed} {crop}: eggs hatch {from}–{to}`. With a capital, `{Pest}`, the fact starts with one, as a
/// sentence does. `{n?egg|eggs}` takes the first words when the fact reads 1, else the second; the words may hold facts: `{n?{n} egg|{n}
/// eggs}`. A code or fact that is missing shows as itself in ⟦ ⟧, and tests/words fails on it.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/base/result.hpp"
#include "core/garden/event.hpp"

namespace leafturn::words {

enum class Language { en, es };
/// `es`, `es-MX`, `es_MX.UTF-8`: only the language counts. Nothing for one that isn't here.
std::optional<Language> parse_language(std::string_view code);
std::string_view code_for(Language language);

struct Style {
  Language language = Language::en;
  garden::Units units = garden::Units::metric;  ///< which unit is said; temperatures show both, this one first
};

/// A plain sentence for a reason.
std::string say(const Reason& reason, const Style& style);
/// A single word or phrase without facts: `say_key("stage.egg", style)`.
std::string say_key(std::string_view key, const Style& style);
bool has_key(std::string_view key, Language language);
/// One fact as people read it: dates, lists and units by language and style, never more decimals than it asks for.
std::string say_fact(const FactValue& value, const Style& style);
/// `<what> (<where>): <what to do>`, to come after `leafturn: `. Where is file, line and field, as far as known.
std::string say_error(const Error& error, const Style& style);
/// All keys and templates of a language, for pages that label fields.
const std::map<std::string, std::string, std::less<>>& all(Language language);

}  // namespace leafturn::words
