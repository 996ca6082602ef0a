#pragma once
/// People and sessions as JSON values; only *_json.cpp include this.

#include <nlohmann/json.hpp>

#include "app/access.hpp"

namespace leafturn::render {

/// `{id, name, role, added, erased}`, times in UTC.
nlohmann::ordered_json person_value(const app::Person& person);
/// `{id, person, device, since, seen, ends, live}`.
nlohmann::ordered_json session_value(const app::SessionView& session);
/// `{code, person, device, address, page, reachable, qr_svg, until}`; without an address the three about it are null.
nlohmann::ordered_json code_value(const app::OpenCode& code, const std::string& address, bool reachable);

}  // namespace leafturn::render
