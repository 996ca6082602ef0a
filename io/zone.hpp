#pragma once
/// Time zones from the system's zone files (Howard Hinnant's tz on the OS database).

#include <string>

#include "core/base/date.hpp"
#include "core/base/result.hpp"

namespace leafturn::io {

/// The changes from 1970 on that the system's zone files list (Debian's list them to 2037; afterwards the last offset holds).
/// `+02:00`, `-05:30` and `Z` are taken as fixed offsets. `zone.unknown` for a name the system doesn't have, `zone.no_files` (cannot) when
/// the system has no zone files at all.
Result<Zone> load_zone(const std::string& name);

}  // namespace leafturn::io
