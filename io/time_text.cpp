#include "io/time_text.hpp"

#include <optional>

namespace leafturn::io {
namespace {

/// The offset an ISO 8601 time ends with: `Z`, `±hh:mm`, `±hhmm`, `±hh`.
std::optional<std::int32_t> offset_of(std::string_view iso) {
  if (!iso.empty() && (iso.back() == 'Z' || iso.back() == 'z')) return 0;
  const std::size_t sign = iso.find_last_of("+-");
  if (sign == std::string_view::npos || iso.find_first_of("Tt ") == std::string_view::npos || sign < iso.find_first_of("Tt "))
    return std::nullopt;
  std::int32_t digits[4] = {0, 0, 0, 0};
  std::size_t count = 0;
  for (const char c : iso.substr(sign + 1)) {
    if (c == ':') continue;
    if (c < '0' || c > '9' || count == 4) return std::nullopt;
    digits[count++] = c - '0';
  }
  if (count != 2 && count != 4) return std::nullopt;
  const std::int32_t seconds = (digits[0] * 10 + digits[1]) * 3600 + (digits[2] * 10 + digits[3]) * 60;
  return iso[sign] == '-' ? -seconds : seconds;
}

tl::unexpected<Error> unreadable(std::string_view text, const std::string& field) {
  return fail("time.unreadable", {{}, 0, field}, {{"given", std::string(text)}});
}

}  // namespace

Result<OffsetTime> parse_offset_time(std::string_view text, const std::string& field) {
  const auto at = Instant::parse(text);
  const auto offset = offset_of(text);
  if (at && offset) return OffsetTime{*at, *offset};
  if (CivilTime::parse(text)) return fail("time.no_offset", {{}, 0, field}, {{"given", std::string(text)}});
  return unreadable(text, field);
}

Result<Instant> parse_time(std::string_view text, const Zone& zone, const std::string& field) {
  if (const auto at = Instant::parse(text)) return *at;
  if (const auto civil = CivilTime::parse(text)) return zone.instant(*civil);
  return unreadable(text, field);
}

Result<WallTime> parse_wall_time(std::string_view text, const Zone& zone, const std::string& field) {
  if (const auto day = Date::parse(text)) return WallTime{{*day, 0}, true};
  if (const auto at = Instant::parse(text)) return WallTime{zone.civil(*at), false};
  if (const auto civil = CivilTime::parse(text)) return WallTime{*civil, false};
  return unreadable(text, field);
}

Result<Date> parse_day(std::string_view text, const std::string& field) {
  if (const auto day = Date::parse(text)) return *day;
  return fail("time.day_unreadable", {{}, 0, field}, {{"given", std::string(text)}});
}

}  // namespace leafturn::io
