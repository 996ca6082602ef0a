#pragma once
/// The little language of the catalogue's sentences (catalogue.hpp tells it).

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <string_view>

namespace leafturn::words {

/// A fact's text by its name; nothing when there is no such fact.
using Lookup = std::function<std::optional<std::string>(std::string_view name)>;

/// The sentence. A fact that is missing stays as ⟦name⟧.
std::string fill(std::string_view pattern, const Lookup& lookup);
/// The names of the facts a template asks for, in lower case; nothing when its braces don't close or a choice lacks its two sides.
std::optional<std::set<std::string>> facts_of(std::string_view pattern);
/// `text` with its first letter in upper case (ASCII and the Latin letters of Spanish).
std::string with_capital(std::string text);
/// How something missing is shown: ⟦name⟧.
std::string missing(std::string_view name);

}  // namespace leafturn::words
