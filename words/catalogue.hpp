#pragma once
/// Every sentence people read, in every language (words/*.toml). Core returns codes and facts; this turns them into sentences.
///
/// A template names its facts in braces: `{bed} {crop}: eggs hatch {from}–{to}`. `{n?egg|eggs}` takes the first word when the fact is 1, else the second.
/// A code or fact that is missing shows as itself in ⟦ ⟧, and tests/words fails on it.

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
std::optional<Language> parse_language(std::string_view code);
std::string_view code_for(Language language);

struct Style {
  Language language = Language::en;
  garden::Units units = garden::Units::metric;  ///< which unit comes first; temperatures show both
};

/// A plain sentence for a reason.
std::string say(const Reason& reason, const Style& style);
/// A single word or phrase without facts: `say_key("stage.egg", style)`.
std::string say_key(std::string_view key, const Style& style);
bool has_key(std::string_view key, Language language);
/// One fact as people read it: dates, decimal marks and units by language.
std::string say_fact(const FactValue& value, const Style& style);
/// `leafturn: <what> (<where>): <what to do>` without the program's name.
std::string say_error(const Error& error, const Style& style);
/// All keys and templates of a language, for pages that label fields.
const std::map<std::string, std::string, std::less<>>& all(Language language);

}  // namespace leafturn::words
