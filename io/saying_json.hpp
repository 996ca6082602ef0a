#pragma once
/// The fields of each kind of saying; only io/*_json.cpp include this.

#include "core/garden/event.hpp"
#include "io/fields_json.hpp"

namespace leafturn::io {

/// Adds `kind` and the saying's fields to `object`, in the order a person would tell them.
void write_saying(const garden::Saying& saying, nlohmann::ordered_json& object);
/// Reads `kind` and its fields; the caller calls `finish` on the same `fields`.
std::optional<garden::Saying> read_saying(Fields& fields);
/// As `read_saying` for a kind already read.
std::optional<garden::Saying> read_saying_of(const std::string& kind, Fields& fields);

}  // namespace leafturn::io
