#pragma once
/// The time a question is about, and the port to answer on, as typed.

#include <optional>
#include <string>

#include "app/open_garden.hpp"

namespace leafturn::app {

/// Nothing when none was given. A bare time is in `zone`, else in the garden's; with an offset, the offset holds. A bare day is its start.
Result<std::optional<Instant>> asked_time(OpenGarden& garden, const std::optional<std::string>& at, const std::optional<std::string>& zone);

/// A port to listen on; 8080 when none was given, 0 for any free one.
Result<int> parse_port(const std::optional<std::string>& text, int usual = 8080, const std::string& field = "--port");

}  // namespace leafturn::app
