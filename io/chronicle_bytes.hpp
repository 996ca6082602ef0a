#pragma once
/// A chronicle as bytes, for snapshots: a cache that is made again from the ledger whenever it is missing or of another form.

#include <optional>
#include <string>
#include <string_view>

#include "core/garden/chronicle.hpp"

namespace leafturn::io {

/// The kind under which snapshots of this form are kept. A field more in an event is another form.
inline constexpr const char* chronicle_kind = "garden-4";

std::string chronicle_bytes(const garden::Chronicle& chronicle);
/// Nothing when the bytes are not of this form; whatever they are, nothing worse happens.
std::optional<garden::Chronicle> chronicle_from(std::string_view bytes);

}  // namespace leafturn::io
