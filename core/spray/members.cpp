#include "core/spray/members.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/base/random.hpp"
#include "core/weather/humidity.hpp"

namespace leafturn::spray {
namespace {

using weather::HourlyReading;
using weather::HourlyReadings;

constexpr int before_hours = 3, after_hours = 24, alike_hours = 24, fewest_alike = 12;
constexpr std::int64_t day_us = 86'400'000'000;
constexpr double year_days = 365.2425;

double square(double x) { return x * x; }

// How unlike the 24 hours before two times are; nothing when too few hours tell both.
std::optional<double> unlike(const HourlyReadings& record, Instant a, Instant b) {
  double sum = 0.0;
  int n = 0;
  for (int h = 1; h <= alike_hours; ++h) {
    const HourlyReading* one = record.find(a + Duration::hours(-h));
    const HourlyReading* other = record.find(b + Duration::hours(-h));
    if (one == nullptr || other == nullptr || !one->temperature || !other->temperature || !one->wind || !other->wind || !one->humidity ||
        !other->humidity)
      continue;
    sum += square((*one->temperature - *other->temperature).kelvin() / 4.0) +
           square((one->wind->metres_per_second() - other->wind->metres_per_second()) / 2.0) +
           square((*one->humidity - *other->humidity) / 0.2);
    ++n;
  }
  if (n < fewest_alike) return std::nullopt;
  return sum / n;
}

// The hours around `then`, as if they were around `issued`.
std::optional<HourlyReadings> moved(const HourlyReadings& record, Instant then, Instant issued, int hours) {
  std::vector<HourlyReading> rows;
  for (int h = -before_hours; h < hours + after_hours; ++h)
    if (const HourlyReading* row = record.find(then + Duration::hours(h))) {
      rows.push_back(*row);
      rows.back().at = issued + Duration::hours(h);
    }
  if (rows.empty()) return std::nullopt;
  auto out = HourlyReadings::from_readings(std::move(rows));
  return out ? std::optional{std::move(*out)} : std::nullopt;
}

// An error that lasts: each hour keeps a part of the last one's and draws the rest anew, at a spread of 1.
class Lasting {
 public:
  Lasting(num::Draws& draws, double hours) : draws_{draws}, keep_{num::exp(-1.0 / hours)}, now_{draws.normal()} {}
  double next() {
    const double got = now_;
    now_ = keep_ * now_ + num::sqrt(1.0 - keep_ * keep_) * draws_.normal();
    return got;
  }

 private:
  num::Draws& draws_;
  double keep_, now_;
};

// Rain as one member has it: moved in time, fallen out, or come where none was told.
std::vector<std::optional<Length>> rain_of(const std::vector<HourlyReading>& rows, num::Draws& draws, const ForecastError& error,
                                           double days) {
  std::vector<std::optional<Length>> out;
  const double fails = draws.uniform();
  const double shift = draws.normal() * (error.rain_hours + error.rain_hours_a_day * days / 2.0);
  const auto by = static_cast<std::int64_t>(std::floor(shift + 0.5));
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!rows[i].rain) {
      out.push_back(std::nullopt);
      continue;
    }
    const auto from = static_cast<std::int64_t>(i) - by;
    const bool inside = from >= 0 && from < static_cast<std::int64_t>(rows.size());
    const auto told = inside ? rows[static_cast<std::size_t>(from)].rain : std::optional<Length>{};
    out.push_back(fails < error.rain_fails ? Length{} : told.value_or(Length{}));
  }
  for (std::size_t begin = 0; begin < rows.size(); begin += 24) {
    const bool comes = draws.uniform() < error.rain_missed_a_day;
    const auto at = begin + static_cast<std::size_t>(draws.uniform() * 22.0);
    for (std::size_t i = at; comes && i < std::min(at + 2, rows.size()); ++i)
      if (out[i]) out[i] = std::max(*out[i], Length::millimetres(1.0));
  }
  return out;
}

}  // namespace

std::vector<HourlyReadings> analogues(const AnaloguesRequest& request) {
  struct Candidate {
    Instant then;
    double unlike = 0.0;
  };
  std::vector<Candidate> found;
  const HourlyReadings& record = *request.record;
  if (record.empty()) return {};
  const Instant first = record.rows().front().at, last = record.rows().back().at;
  const auto back = (request.issued - first).microseconds / day_us;
  const auto ahead = request.anywhere ? (last - request.issued).microseconds / day_us : 0;
  for (std::int64_t d = -back; d <= ahead; ++d) {
    const double of_year = std::abs(std::remainder(static_cast<double>(d), year_days));
    if (of_year > request.reach_days) continue;
    const Instant then = request.issued + Duration::hours(24 * d);
    const Instant end = then + Duration::hours(request.hours + after_hours);
    const auto apart = Duration::hours(24 * request.apart);
    const bool too_near = then < request.issued + Duration::hours(request.hours) + apart && request.issued < end + apart;
    if (request.anywhere ? too_near : end > request.issued) continue;
    if (const auto distance = unlike(record, request.issued, then)) found.push_back({then, *distance});
  }
  std::stable_sort(found.begin(), found.end(), [](const Candidate& a, const Candidate& b) { return a.unlike < b.unlike; });
  std::vector<HourlyReadings> out;
  for (const Candidate& c : found) {
    if (out.size() == request.most) break;
    if (auto member = moved(record, c.then, request.issued, request.hours)) out.push_back(std::move(*member));
  }
  return out;
}

std::vector<HourlyReadings> dressed(const HourlyReadings& forecast, Instant from, std::size_t members, std::uint64_t seed,
                                    const ForecastError& error) {
  const std::vector<HourlyReading> rows{forecast.rows().begin(), forecast.rows().end()};
  std::vector<HourlyReadings> out;
  for (std::size_t m = 0; m < members && !rows.empty(); ++m) {
    num::Draws draws{{.seed = seed, .member = static_cast<std::uint32_t>(m), .use = num::Use::weather_member}};
    Lasting warm{draws, error.lasting_hours}, moist{draws, error.lasting_hours}, windy{draws, error.lasting_hours};
    const double days = std::max(0.0, (rows.back().at - from).in_days());
    const auto rain = rain_of(rows, draws, error, days);
    std::vector<HourlyReading> member = rows;
    for (std::size_t i = 0; i < member.size(); ++i) {
      HourlyReading& r = member[i];
      const double w = warm.next(), d = moist.next(), v = windy.next();
      if (r.at < from) continue;
      const double lead = (r.at - from).in_days();
      if (r.temperature)
        *r.temperature = *r.temperature + TemperatureSpan::kelvin(w * (error.temperature_k + error.temperature_k_a_day * lead));
      if (r.dew_point) *r.dew_point = *r.dew_point + TemperatureSpan::kelvin(d * (error.dew_point_k + error.dew_point_k_a_day * lead));
      if (r.temperature && r.dew_point) {
        r.dew_point = std::min(*r.dew_point, *r.temperature);
        r.humidity = weather::relative_humidity(*r.temperature, *r.dew_point);
      }
      const double stretch = num::exp(v * (error.wind_log + error.wind_log_a_day * lead));
      if (r.wind) *r.wind = *r.wind * stretch;
      if (r.gust) *r.gust = *r.gust * stretch;
      r.rain = rain[i];
    }
    // An hour that an error made impossible (beyond the Earth's extremes) leaves the member out rather than bending it.
    if (auto made = HourlyReadings::from_readings(std::move(member))) out.push_back(std::move(*made));
  }
  return out;
}

}  // namespace leafturn::spray
