#include "core/base/date.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

namespace leafturn {
namespace {

using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr std::int32_t day_seconds = 86'400;
constexpr std::int64_t second_us = 1'000'000;

year_month_day fields(std::int32_t serial) { return year_month_day{sys_days{std::chrono::days{serial}}}; }

std::string padded(std::int64_t value, int width) {
  std::string digits = std::to_string(value < 0 ? -value : value);
  if (static_cast<int>(digits.size()) < width) digits.insert(0, static_cast<std::size_t>(width) - digits.size(), '0');
  return value < 0 ? "-" + digits : digits;
}

// `width` digits at `at`, moving it on; −1 when they aren't all digits.
int digits(std::string_view text, std::size_t& at, std::size_t width) {
  if (at + width > text.size()) return -1;
  int value = 0;
  for (std::size_t i = 0; i < width; ++i) {
    const char c = text[at + i];
    if (c < '0' || c > '9') return -1;
    value = value * 10 + (c - '0');
  }
  at += width;
  return value;
}

bool take(std::string_view text, std::size_t& at, char c) {
  if (at >= text.size() || text[at] != c) return false;
  ++at;
  return true;
}

struct Clock {
  std::int32_t second_of_day = 0;
  std::int64_t microseconds = 0;
};

// hh:mm, hh:mm:ss or hh:mm:ss.ffffff at `at`.
std::optional<Clock> parse_clock(std::string_view text, std::size_t& at) {
  const int h = digits(text, at, 2);
  if (h < 0 || h > 23 || !take(text, at, ':')) return std::nullopt;
  const int m = digits(text, at, 2);
  if (m < 0 || m > 59) return std::nullopt;
  Clock clock{h * 3600 + m * 60, 0};
  if (!take(text, at, ':')) return clock;
  const int s = digits(text, at, 2);
  if (s < 0 || s > 59) return std::nullopt;
  clock.second_of_day += s;
  if (!take(text, at, '.')) return clock;
  std::int64_t scale = second_us;
  bool any = false;
  while (at < text.size() && text[at] >= '0' && text[at] <= '9') {
    scale /= 10;
    clock.microseconds += (text[at] - '0') * scale;
    ++at;
    any = true;
  }
  if (!any) return std::nullopt;
  return clock;
}

std::optional<Date> parse_date(std::string_view text, std::size_t& at) {
  const int y = digits(text, at, 4);
  if (y < 0 || !take(text, at, '-')) return std::nullopt;
  const int m = digits(text, at, 2);
  if (m < 0 || !take(text, at, '-')) return std::nullopt;
  const int d = digits(text, at, 2);
  if (d < 0) return std::nullopt;
  return Date::from_ymd(y, m, d);
}

std::string clock_text(std::int32_t second_of_day) {
  return padded(second_of_day / 3600, 2) + ":" + padded(second_of_day / 60 % 60, 2) + ":" + padded(second_of_day % 60, 2);
}

// Rounds towards minus infinity, so that times before 1970 fall on the right day.
std::pair<std::int64_t, std::int64_t> floor_divide(std::int64_t a, std::int64_t b) {
  std::int64_t quotient = a / b;
  std::int64_t rest = a % b;
  if (rest < 0) {
    rest += b;
    --quotient;
  }
  return {quotient, rest};
}

}  // namespace

std::optional<Date> Date::from_ymd(int year, int month, int day) {
  if (year < 1 || year > 9999 || month < 1 || day < 1) return std::nullopt;
  const year_month_day ymd{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                           std::chrono::day{static_cast<unsigned>(day)}};
  if (!ymd.ok()) return std::nullopt;
  return Date{static_cast<std::int32_t>(sys_days{ymd}.time_since_epoch().count())};
}

std::optional<Date> Date::parse(std::string_view iso) {
  std::size_t at = 0;
  const auto date = parse_date(iso, at);
  return date && at == iso.size() ? date : std::nullopt;
}

int Date::year() const { return static_cast<int>(fields(serial_).year()); }
int Date::month() const { return static_cast<int>(static_cast<unsigned>(fields(serial_).month())); }
int Date::day() const { return static_cast<int>(static_cast<unsigned>(fields(serial_).day())); }

int Date::day_of_year() const {
  const year_month_day ymd = fields(serial_);
  const sys_days new_year{ymd.year() / std::chrono::January / 1};
  return static_cast<int>((sys_days{std::chrono::days{serial_}} - new_year).count()) + 1;
}

// 1970-01-01 was a Thursday.
int Date::weekday() const { return static_cast<int>(floor_divide(serial_ + 3, 7).second); }

std::string Date::iso() const { return padded(year(), 4) + "-" + padded(month(), 2) + "-" + padded(day(), 2); }

std::optional<Instant> Instant::parse(std::string_view iso) {
  std::size_t at = 0;
  const auto date = parse_date(iso, at);
  if (!date || !(take(iso, at, 'T') || take(iso, at, ' '))) return std::nullopt;
  const auto clock = parse_clock(iso, at);
  if (!clock) return std::nullopt;
  std::int32_t offset = 0;
  if (!take(iso, at, 'Z')) {
    if (at >= iso.size() || (iso[at] != '+' && iso[at] != '-')) return std::nullopt;
    const int sign = iso[at] == '-' ? -1 : 1;
    ++at;
    const int h = digits(iso, at, 2);
    const bool colon = take(iso, at, ':');
    const int m = at == iso.size() && !colon ? 0 : digits(iso, at, 2);
    if (h < 0 || h > 18 || m < 0 || m > 59) return std::nullopt;
    offset = sign * (h * 3600 + m * 60);
  }
  if (at != iso.size()) return std::nullopt;
  const std::int64_t seconds = std::int64_t{date->serial()} * day_seconds + clock->second_of_day - offset;
  return Instant{seconds * second_us + clock->microseconds};
}

std::string Instant::iso_utc() const {
  const auto [seconds, us] = floor_divide(us_, second_us);
  const auto [day, second] = floor_divide(seconds, day_seconds);
  std::string text = Date::from_serial(static_cast<std::int32_t>(day)).iso() + "T" + clock_text(static_cast<std::int32_t>(second));
  if (us != 0) {
    std::string fraction = padded(us, 6);
    fraction.erase(fraction.find_last_not_of('0') + 1);
    text += "." + fraction;
  }
  return text + "Z";
}

std::optional<CivilTime> CivilTime::parse(std::string_view iso) {
  std::size_t at = 0;
  const auto date = parse_date(iso, at);
  if (!date) return std::nullopt;
  if (at == iso.size()) return CivilTime{*date, 0};
  if (!take(iso, at, 'T') && !take(iso, at, ' ')) return std::nullopt;
  const auto clock = parse_clock(iso, at);
  if (!clock || at != iso.size()) return std::nullopt;
  return CivilTime{*date, clock->second_of_day};
}

std::string CivilTime::iso() const { return date.iso() + "T" + clock_text(second_of_day); }

Zone::Zone(std::string name, std::vector<Change> changes) : name_{std::move(name)}, changes_{std::move(changes)} {}

Zone Zone::fixed(std::int32_t offset_seconds) {
  const std::int32_t size = offset_seconds < 0 ? -offset_seconds : offset_seconds;
  const std::string name = (offset_seconds < 0 ? "-" : "+") + padded(size / 3600, 2) + ":" + padded(size / 60 % 60, 2);
  return Zone{name, {{Instant{}, offset_seconds}}};
}

std::int32_t Zone::offset_seconds(Instant t) const {
  if (changes_.empty()) return 0;
  const auto after = std::upper_bound(changes_.begin(), changes_.end(), t, [](Instant at, const Change& c) { return at < c.from; });
  return (after == changes_.begin() ? after : after - 1)->offset_seconds;
}

CivilTime Zone::civil(Instant t) const {
  const auto [seconds, us] = floor_divide(t.unix_microseconds(), second_us);
  const auto [day, second] = floor_divide(seconds + offset_seconds(t), day_seconds);
  return {Date::from_serial(static_cast<std::int32_t>(day)), static_cast<std::int32_t>(second)};
}

Instant Zone::instant(const CivilTime& c) const {
  const std::int64_t wall = std::int64_t{c.date.serial()} * day_seconds + c.second_of_day;
  const auto with = [&](std::int32_t offset) { return Instant::from_unix_microseconds((wall - offset) * second_us); };
  // The offset a day earlier is the one before any change near `c`; it answers both the skipped and the repeated hour.
  const std::int32_t before = offset_seconds(with(0) - Duration::hours(36));
  if (offset_seconds(with(before)) == before) return with(before);
  const std::int32_t after = offset_seconds(with(before) + Duration::hours(36));
  return offset_seconds(with(after)) == after ? with(after) : with(before);
}

std::string Zone::iso(Instant t) const {
  const std::int32_t offset = offset_seconds(t);
  const std::int32_t size = offset < 0 ? -offset : offset;
  return civil(t).iso() + (offset < 0 ? "-" : "+") + padded(size / 3600, 2) + ":" + padded(size / 60 % 60, 2);
}

}  // namespace leafturn
