#pragma once
/// Events to and from the bytes that are hashed and stored. One JSON object per event, schema in docs/events.md.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/base/result.hpp"
#include "core/garden/event.hpp"

namespace leafturn::io {

/// The largest event there is.
inline constexpr std::size_t most_event_bytes = 1'000'000;

/// Text that isn't UTF-8 (garden::check refuses it) is written with replacement characters.
std::string encode_event(const garden::Event& event);
/// Strict: unknown kinds and fields, wrong types, missing fields, non-UTF-8, numbers outside their range are refused with the field.
Result<garden::Event> decode_event(std::string_view bytes);

/// The fields of a saying as its bytes have them, in that order: name, and value as text.
std::vector<std::pair<std::string, std::string>> fields_of(const garden::Saying& saying);

}  // namespace leafturn::io
