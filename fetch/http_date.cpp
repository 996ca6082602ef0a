#include "fetch/http_date.hpp"

#include <array>

namespace leafturn::fetch {
namespace {

std::optional<int> number(std::string_view text, std::size_t at, std::size_t digits) {
  int value = 0;
  for (std::size_t i = at; i < at + digits; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

}  // namespace

std::optional<Instant> parse_http_date(std::string_view text) {
  constexpr std::array<std::string_view, 12> months{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  if (text.size() != 29 || text.substr(3, 2) != ", " || text[7] != ' ' || text[11] != ' ' || text[16] != ' ' || text[19] != ':' ||
      text[22] != ':' || text.substr(25) != " GMT")
    return std::nullopt;
  int month = 0;
  for (std::size_t i = 0; i < months.size(); ++i)
    if (text.substr(8, 3) == months[i]) month = static_cast<int>(i) + 1;
  const auto day = number(text, 5, 2), year = number(text, 12, 4), hour = number(text, 17, 2), minute = number(text, 20, 2),
             second = number(text, 23, 2);
  if (month == 0 || !day || !year || !hour || !minute || !second || *hour > 23 || *minute > 59 || *second > 60) return std::nullopt;
  const auto date = Date::from_ymd(*year, month, *day);
  if (!date) return std::nullopt;
  const std::int64_t seconds = date->serial() * std::int64_t{86'400} + *hour * 3600 + *minute * 60 + *second;
  return Instant::from_unix_microseconds(seconds * 1'000'000);
}

}  // namespace leafturn::fetch
