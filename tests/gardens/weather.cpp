#include "tests/gardens/weather.hpp"

#include <algorithm>
#include <cstdio>

#include "tests/gardens/draw.hpp"

namespace leafturn::gardens {
namespace {

bool leap(int year) { return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0; }

double season_mean(const Site& site, int day) { return site.mean_c - site.swing_c * cos_of(2.0 * pi * (day - 17) / 365.25); }

double tenth(double value) { return std::floor(value * 10.0 + 0.5) / 10.0; }

}  // namespace

int days_in(int year) { return leap(year) ? 366 : 365; }

std::string iso_date(int year, int day) {
  while (day < 0) day += days_in(--year);
  while (day >= days_in(year)) day -= days_in(year++);
  const std::array<int, 12> lengths{31, leap(year) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  std::size_t month = 0;
  while (day >= lengths[month]) day -= lengths[month++];
  std::array<char, 40> text{};
  std::snprintf(text.data(), text.size(), "%04d-%02d-%02d", year, static_cast<int>(month) + 1, day + 1);
  return text.data();
}

std::vector<Day> weather_of(const Site& site, std::uint64_t seed, int year) {
  Draw draw{seed, 0x7EA7, static_cast<std::uint64_t>(year)};
  const double whole_year = 0.7 * draw.normal();
  double anomaly = 3.0 * draw.normal();
  bool wet = false;
  std::vector<Day> days;
  for (int day = 0; day < days_in(year); ++day) {
    const double winter = 0.5 + 0.5 * cos_of(2.0 * pi * (day - 17) / 365.25);
    const double sd = 2.6 + 1.6 * winter;
    anomaly = 0.72 * anomaly + sd * std::sqrt(1.0 - 0.72 * 0.72) * draw.normal();
    wet = draw.chance(wet ? 0.44 : 0.24);
    const double amount = draw.unit();
    const double mean = season_mean(site, day) + whole_year + anomaly - (wet && winter < 0.5 ? 1.5 : 0.0);
    const double range = std::max(2.5, (wet ? 0.65 : 1.0) * site.range_c * (1.0 - 0.25 * winter) + 1.8 * draw.normal());
    days.push_back({tenth(mean - range / 2.0), tenth(mean + range / 2.0), wet ? tenth(-8.0 * log_of(amount)) : 0.0});
  }
  return days;
}

Hours hours_of(const Day& before, const Day& today, const Day& after) {
  Hours hours{};
  constexpr double low_at = 5.0, high_at = 15.0;
  for (std::size_t h = 0; h < hours.size(); ++h) {
    const double t = static_cast<double>(h) + 0.5;
    double from = today.low_c, to = today.high_c, share = (t - low_at) / (high_at - low_at);
    if (t < low_at) {
      from = before.high_c;
      to = today.low_c;
      share = (t + 24.0 - high_at) / (24.0 - high_at + low_at);
    } else if (t > high_at) {
      from = today.high_c;
      to = after.low_c;
      share = (t - high_at) / (24.0 - high_at + low_at);
    }
    hours[h] = from + (to - from) * (0.5 - 0.5 * cos_of(pi * share));
  }
  return hours;
}

double day_length_h(double latitude, int day) {
  const double tilt = 0.4092 * sin_of(2.0 * pi * (day - 79.5) / 365.25), place = latitude * pi / 180.0;
  const double c = (sin_of(-0.83 * pi / 180.0) - sin_of(place) * sin_of(tilt)) / (cos_of(place) * cos_of(tilt));
  // acos by Newton on our own sine: no library's last bits.
  double angle = pi / 2.0 - c;
  for (int i = 0; i < 12; ++i) angle += (cos_of(angle) - c) / std::max(0.05, sin_of(angle));
  return 24.0 * angle / pi;
}

std::vector<Day> forecast_of(const Site& site, const std::vector<Day>& truth, std::uint64_t seed, int from, int days) {
  Draw draw{seed, 0xF0CA, static_cast<std::uint64_t>(from)};
  const double drift = draw.normal();
  std::vector<Day> told;
  for (int lead = 0; lead < days; ++lead) {
    const int day = std::min(from + lead, static_cast<int>(truth.size()) - 1);
    const Day& real = truth[static_cast<std::size_t>(day)];
    const double mean = (real.low_c + real.high_c) / 2.0, pull = std::min(0.7, 0.06 * lead);
    const double sd = 1.0 + 0.4 * lead;
    const double shift = pull * (season_mean(site, day) - mean) + sd * (0.6 * drift + 0.8 * draw.normal());
    const double range = std::max(1.0, real.high_c - real.low_c + draw.normal());
    told.push_back({tenth(mean + shift - range / 2.0), tenth(mean + shift + range / 2.0), 0.0});
  }
  return told;
}

}  // namespace leafturn::gardens
