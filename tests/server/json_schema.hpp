#pragma once
/// The part of JSON Schema 2020-12 that our documents use, checked strictly: a keyword this checker doesn't know is a problem, never
/// ignored.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace leafturn::test {

/// What is wrong with `value`, as `place: problem`; empty when it fits. `$ref` is looked up in `document`.
std::vector<std::string> schema_problems(const nlohmann::json& document, const nlohmann::json& schema, const nlohmann::json& value);

}  // namespace leafturn::test
