#pragma once
/// Time zones from the system's zone files (Howard Hinnant's tz on the OS database).

#include <string>

#include "core/base/date.hpp"
#include "core/base/result.hpp"

namespace leafturn::io {

/// Changes from 1970 to 2100. `zone.unknown` for a name the system doesn't have; `+02:00` is accepted as a fixed offset.
Result<Zone> load_zone(const std::string& name);

}  // namespace leafturn::io
