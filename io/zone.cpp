#include "io/zone.hpp"

#include <date/tz.h>

#include <algorithm>
#include <chrono>
#include <exception>
#include <optional>
#include <utility>
#include <vector>

namespace leafturn::io {
namespace {

constexpr std::chrono::seconds end_of_table{4'102'444'800};  // 2100-01-01

// `+hh:mm` or `-hh:mm`, up to 18 h as in ISO 8601 times here.
std::optional<std::int32_t> parse_offset(const std::string& text) {
  if (text == "Z") return 0;
  if (text.size() != 6 || (text[0] != '+' && text[0] != '-')) return std::nullopt;
  // An instant parser with a fixed day does the digits.
  const auto t = Instant::parse("1970-01-02T00:00:00" + text);
  if (!t) return std::nullopt;
  return static_cast<std::int32_t>(86'400 - t->unix_microseconds() / 1'000'000);
}

// Only plain names reach the library: no path leads out of the zone folder.
bool plausible(const std::string& name) {
  if (name.empty() || name.size() > 64 || name.front() == '/' || name.find("..") != std::string::npos) return false;
  return std::all_of(name.begin(), name.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/' || c == '_' || c == '-' || c == '+';
  });
}

bool have_zone_files() {
  try {
    return date::locate_zone("UTC") != nullptr;
  } catch (const std::exception&) {
    return false;
  }
}

std::vector<Zone::Change> changes_of(const date::time_zone& zone) {
  std::vector<Zone::Change> changes;
  date::sys_seconds at{std::chrono::seconds{0}};
  while (at.time_since_epoch() < end_of_table) {
    const date::sys_info info = zone.get_info(at);
    const auto offset = static_cast<std::int32_t>(info.offset.count());
    if (changes.empty() || changes.back().offset_seconds != offset)
      changes.push_back({Instant::from_unix_microseconds(at.time_since_epoch().count() * 1'000'000), offset});
    if (info.end <= at) break;
    at = info.end;
  }
  return changes;
}

}  // namespace

Result<Zone> load_zone(const std::string& name) {
  if (const auto offset = parse_offset(name)) return name == "Z" ? Zone{} : Zone::fixed(*offset);
  const auto unknown = [&] { return fail("zone.unknown", {{}, 0, "zone"}, {{"zone", name}}); };
  if (!plausible(name)) return unknown();
  try {
    return Zone{name, changes_of(*date::locate_zone(name))};
  } catch (const std::exception&) {
    if (!have_zone_files()) return fail("zone.no_files", {{}, 0, "zone"}, {{"zone", name}}, ErrorKind::cannot);
    return unknown();
  }
}

}  // namespace leafturn::io
