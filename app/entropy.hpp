#pragma once
/// Fresh ids, from the operating system's randomness.

#include "core/base/date.hpp"
#include "core/base/ids.hpp"

namespace leafturn::app {

/// A version-7 id for something written at `now`.
Id fresh_id(Instant now);

}  // namespace leafturn::app
