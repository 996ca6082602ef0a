#include "io/logger_time.hpp"

#include <array>
#include <charconv>

#include "io/csv.hpp"

namespace leafturn::io {
namespace {

std::optional<int> whole(std::string_view text, std::size_t most_digits) {
  int value = 0;
  if (text.empty() || text.size() > most_digits || text.front() == '-') return std::nullopt;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} && end == text.data() + text.size() ? std::optional{value} : std::nullopt;
}

/// Three numbers parted by `at`.
std::optional<std::array<int, 3>> three(std::string_view text, char at) {
  std::array<int, 3> numbers{};
  for (std::size_t i = 0; i < 3; ++i) {
    const std::size_t end = i < 2 ? text.find(at) : text.size();
    if (end == std::string_view::npos) return std::nullopt;
    const auto number = whole(text.substr(0, end), 4);
    if (!number) return std::nullopt;
    numbers[i] = *number;
    text.remove_prefix(i < 2 ? end + 1 : end);
  }
  return numbers;
}

std::optional<std::int32_t> time_of_day(std::string_view text) {
  text = without_blanks(text);
  std::optional<bool> afternoon;
  if (text.size() > 2) {
    const char half = text[text.size() - 2];
    const char m = text.back();
    if (m == 'M' || m == 'm') {
      if (half != 'A' && half != 'a' && half != 'P' && half != 'p') return std::nullopt;
      afternoon = half == 'P' || half == 'p';
      text = without_blanks(text.substr(0, text.size() - 2));
    }
  }
  const std::size_t colon = text.find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  const std::size_t second_colon = text.find(':', colon + 1);
  auto hour = whole(text.substr(0, colon), 2);
  const auto minute = whole(text.substr(colon + 1, second_colon == std::string_view::npos ? second_colon : second_colon - colon - 1), 2);
  const auto second = second_colon == std::string_view::npos ? std::optional{0} : whole(text.substr(second_colon + 1), 2);
  if (!hour || !minute || !second || *minute > 59 || *second > 59) return std::nullopt;
  if (afternoon) {
    if (*hour < 1 || *hour > 12) return std::nullopt;
    hour = *hour % 12 + (*afternoon ? 12 : 0);
  }
  if (*hour > 23) return std::nullopt;
  return *hour * 3600 + *minute * 60 + *second;
}

}  // namespace

std::optional<LoggerTime> parse_logger_time(std::string_view text) {
  text = without_blanks(text);
  LoggerTime time;
  time.text = text;
  time.instant = Instant::parse(text);
  if (time.instant) return time;
  const std::size_t end = text.find_first_of(" T");
  if (end == std::string_view::npos) return std::nullopt;
  const std::string_view day = text.substr(0, end);
  const auto clock = time_of_day(text.substr(end + 1));
  if (!clock) return std::nullopt;
  time.second_of_day = *clock;
  for (const char at : {'-', '/', '.'}) {
    const auto numbers = three(day, at);
    if (!numbers) continue;
    const auto [a, b, c] = *numbers;
    if (a > 31) {
      if (a < 1000 || at == '.') return std::nullopt;
      time.date = Date::from_ymd(a, b, c);
    } else if (c < 1000 || at == '-') {
      return std::nullopt;
    } else if (at == '.') {
      time.date = Date::from_ymd(c, b, a);
    } else {
      time.slashed = true;
      time.first = a;
      time.second = b;
      time.year = c;
      return time;
    }
    return time.date ? std::optional{time} : std::nullopt;
  }
  return std::nullopt;
}

std::optional<CivilTime> LoggerTime::civil(DayAndMonth order, const Zone& zone) const {
  if (instant) return zone.civil(*instant);
  const auto day = !slashed                          ? date
                   : order == DayAndMonth::day_first ? Date::from_ymd(year, second, first)
                                                     : Date::from_ymd(year, first, second);
  if (!day) return std::nullopt;
  return CivilTime{*day, second_of_day};
}

}  // namespace leafturn::io
