#pragma once
/// The address in a request line, taken apart.

#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace leafturn::server::transport {

struct Target {
  std::string path;                          ///< decoded
  std::map<std::string, std::string> query;  ///< decoded, `+` is a blank; of a name given twice, the first
};

/// `/beds/7%20north?lang=es`. Nothing for half an escape, a control character, or a path with a `.` or `..` in it, however written: no
/// route has one, so it can only be a try to climb out of somewhere.
std::optional<Target> read_target(std::string_view target);

}  // namespace leafturn::server::transport
