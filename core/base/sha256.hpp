#pragma once
/// SHA-256 (FIPS 180-4), portable: the digest that names cards, weather files and events. Checked against the standard's examples in
/// tests/base.

#include <string_view>

#include "core/base/ids.hpp"

namespace leafturn {

Digest sha256(std::string_view bytes);

}  // namespace leafturn
