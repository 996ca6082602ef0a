#pragma once
/// The one way our JSON becomes text. For *_json.cpp files only.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "app/record.hpp"

namespace leafturn::render {

/// One line and its end. Bytes that aren't UTF-8 (a file's name may hold any) become U+FFFD instead of an exception.
std::string json_text(const nlohmann::ordered_json& value);
std::string json_text(const nlohmann::json& value);
/// `{id, seq, link, kind: appended|had-it|quarantined}`.
nlohmann::ordered_json receipt_value(const store::Receipt& receipt);

}  // namespace leafturn::render
