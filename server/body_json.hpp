#pragma once
/// Reading what a form sends; only *_json.cpp include this.

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "core/base/result.hpp"
#include "server/http.hpp"

namespace leafturn::server {

/// The body as an object: `server.not_json`.
Result<nlohmann::ordered_json> read_object(const Request& request);
/// Absent is nothing; no text: `server.field_needed`.
Result<std::optional<std::string>> maybe_text(const nlohmann::ordered_json& object, const char* field);
Result<std::string> needed_text(const nlohmann::ordered_json& object, const char* field);

}  // namespace leafturn::server
