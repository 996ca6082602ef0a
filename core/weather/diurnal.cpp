#include "core/weather/diurnal.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "core/base/elementary.hpp"
#include "core/weather/sun.hpp"

namespace leafturn::weather {
namespace {

// Parton & Logan 1981, table 1, air at 1.5 m: lag of the maximum, night coefficient, lag of the minimum behind sunrise.
constexpr double lag_of_maximum = 1.86;
constexpr double night_coefficient = 2.2;
constexpr double lag_of_minimum = -0.17;

// Below 3.4 h of daylight the sine would not reach its maximum before sunset; above 22 h sunset and sunrise press against midnight.
constexpr double shortest_day = 4.0;
constexpr double longest_day = 22.0;
constexpr double sunless_minimum = 3.0;
constexpr double sunless_maximum = 15.0;

struct Sun {
  double rise, set;
  bool times_extremes() const { return set - rise >= shortest_day && set - rise <= longest_day; }
  double minimum_hour() const { return times_extremes() ? std::max(rise + lag_of_minimum, 0.0) : sunless_minimum; }
  double evening_hour() const { return times_extremes() ? set : sunless_maximum; }  // where the day's branch ends
};

// One stretch of the curve: `level + size·shape`, with shape sin(rate·(t−start)), cos(rate·(t−start)) or exp(−rate·(t−start)).
struct Piece {
  enum class Shape { sine, cosine, decay } shape = Shape::sine;
  double begin = 0.0;
  double end = 0.0;
  double level = 0.0;
  double size = 0.0;
  double rate = 0.0;

  double at(double t) const {
    const double x = rate * (t - begin);
    if (shape == Shape::sine) return level + size * num::sin(x);
    if (shape == Shape::cosine) return level + size * num::cos(x);
    return level + size * num::exp(-x);
  }
  double integral(double from, double to) const {
    const double a = rate * (from - begin);
    const double b = rate * (to - begin);
    const double flat = level * (to - from);
    if (shape == Shape::sine) return flat + size / rate * (num::cos(a) - num::cos(b));
    if (shape == Shape::cosine) return flat + size / rate * (num::sin(b) - num::sin(a));
    return flat + size / rate * (num::exp(-a) - num::exp(-b));
  }
};

Piece half_cosine(double begin, double end, double from, double to) {
  return {Piece::Shape::cosine, begin, end, (from + to) / 2.0, (from - to) / 2.0, num::pi / (end - begin)};
}

Piece day_piece(const Sun& sun, double min, double max) {
  if (!sun.times_extremes()) return half_cosine(sunless_minimum, sunless_maximum, min, max);
  const double begin = sun.minimum_hour();
  return {Piece::Shape::sine, begin, sun.set, min, max - min, num::pi / (sun.set - sun.rise + 2.0 * lag_of_maximum)};
}

// From the evening of one day to the next day's minimum, hours counted from the first day's midnight. The exponential's asymptote is moved
// so that it ends at that minimum.
Piece night_piece(const Piece& day, const Sun& evening, double next_minimum_hour, double next_min) {
  const double begin = evening.evening_hour();
  const double end = next_minimum_hour + 24.0;
  const double from = day.at(begin);
  if (!evening.times_extremes()) return half_cosine(begin, end, from, next_min);
  const double left = num::exp(-night_coefficient);
  const double level = (next_min - from * left) / (1.0 - left);
  return {Piece::Shape::decay, begin, end, level, from - level, night_coefficient / (end - begin)};
}

// The day's curve as three pieces: the end of the night before, the day, the beginning of the night after.
std::array<Piece, 3> curve(const DiurnalDay& d) {
  const Sun before{d.previous_sunrise, d.previous_sunset};
  const Sun today{d.sunrise, d.sunset};
  const Sun after{d.next_sunrise, d.next_sunset};
  const Piece day_before = day_piece(before, d.previous_min.celsius(), d.previous_max.celsius());
  const Piece day = day_piece(today, d.min.celsius(), d.max.celsius());
  Piece morning = night_piece(day_before, before, today.minimum_hour(), d.min.celsius());
  morning.begin -= 24.0;
  morning.end -= 24.0;
  return {morning, day, night_piece(day, today, after.minimum_hour(), d.next_min.celsius())};
}

const Piece& piece_at(const std::array<Piece, 3>& pieces, double hour) {
  if (hour < pieces[1].begin) return pieces[0];
  return hour < pieces[1].end ? pieces[1] : pieces[2];
}

// Spencer 1971, Search 2:172, in minutes (from memory; within a minute of the full algorithm, tests/weather).
double equation_of_time(int day_of_year) {
  const double b = 2.0 * num::pi * (day_of_year - 1) / 365.0;
  return 229.18 *
         (0.000075 + 0.001868 * num::cos(b) - 0.032077 * num::sin(b) - 0.014615 * num::cos(2.0 * b) - 0.040849 * num::sin(2.0 * b));
}

// Sunrise and sunset by day of the year at one site.
class SunTable {
 public:
  explicit SunTable(const Site& site) : site_{site} {}
  const Sun& on(Date d) {
    auto& slot = days_[static_cast<std::size_t>(d.day_of_year())];
    if (!slot) slot = compute(d.day_of_year());
    return *slot;
  }

 private:
  Sun compute(int day_of_year) const {
    const double longitude = site_.longitude.degrees();
    const double meridian = std::floor(longitude / 15.0 + 0.5) * 15.0;
    const double noon = 12.0 + (meridian - longitude) / 15.0 - equation_of_time(day_of_year) / 60.0;
    const double length = day_length_hours(site_.latitude, day_of_year);
    return {noon - length / 2.0, noon + length / 2.0};
  }
  Site site_;
  std::array<std::optional<Sun>, 367> days_;
};

}  // namespace

Temperature temperature_at(const DiurnalDay& day, double hour) { return Temperature::celsius(piece_at(curve(day), hour).at(hour)); }

HourlyDay hourly_means(const DiurnalDay& day) {
  const auto pieces = curve(day);
  HourlyDay hours;
  for (std::size_t h = 0; h < hours.size(); ++h) {
    const auto from = static_cast<double>(h);
    double sum = 0.0;
    for (const Piece& piece : pieces) {
      const double a = std::max(from, piece.begin);
      const double b = std::min(from + 1.0, piece.end);
      if (a < b) sum += piece.integral(a, b);
    }
    hours[h] = Temperature::celsius(sum);
  }
  return hours;
}

HourlySeries part_of(const HourlySeries& series, Date from, Date to) {
  const Date last = series.first + Days{static_cast<std::int32_t>(series.days.size()) - 1};
  from = std::max(from, series.first);
  to = std::min(to, last);
  HourlySeries part{from, {}};
  if (from > to) return part;
  const auto begin = series.days.begin() + (from - series.first).count;
  part.days.assign(begin, begin + (to - from).count + 1);
  return part;
}

HourlySeries hourly(const DailySeries& series, const Site& site) {
  HourlySeries result;
  if (series.empty()) return result;
  result.first = series.first();
  result.days.resize(series.days().size());
  SunTable sun{site};
  const auto days = series.days();
  for (std::size_t i = 0; i < days.size(); ++i) {
    const Day& day = days[i];
    if (!day.complete()) continue;
    const Day& before = i > 0 && days[i - 1].complete() ? days[i - 1] : day;
    const Day& after = i + 1 < days.size() && days[i + 1].complete() ? days[i + 1] : day;
    const Sun today = sun.on(day.date);
    const Sun yesterday = sun.on(day.date - Days{1});
    const Sun tomorrow = sun.on(day.date + Days{1});
    result.days[i] = hourly_means({*day.min, *day.max, *before.min, *before.max, *after.min, today.rise, today.set, yesterday.rise,
                                   yesterday.set, tomorrow.rise, tomorrow.set});
  }
  return result;
}

}  // namespace leafturn::weather
