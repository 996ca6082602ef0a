#pragma once
/// As much of JSON Schema 2020-12 as the dossiers' schemas use. A keyword it doesn't know is a failure, so that a schema never asks for
/// something that nobody checks.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace leafturn::test {

/// What is wrong with `value`, each with its path; empty if it conforms.
std::vector<std::string> schema_failures(const nlohmann::json& schema, const nlohmann::json& value);
/// A TOML document as JSON; throws on bad TOML.
nlohmann::json json_of_toml(const std::string& toml);

}  // namespace leafturn::test
