#include "core/weather/readings.hpp"

#include <algorithm>
#include <map>

#include "core/weather/humidity.hpp"

namespace leafturn::weather {
namespace {

constexpr std::int64_t hour_us = 3600LL * 1000000LL;
constexpr std::size_t hours_needed = 20;
constexpr double coldest = -90.0, hottest = 60.0;                   // °C, as DailySeries
constexpr Duration longest_span = Duration::hours(24 * 300 * 366);  // as DailySeries
constexpr double most_wind = 120.0;                                 // m/s; 113 m/s is the highest gust on record (WMO archive, from memory)

std::int64_t hour_of(Instant at) {
  const std::int64_t us = at.unix_microseconds();
  return us >= 0 ? us / hour_us : -((-us + hour_us - 1) / hour_us);
}

Instant hour_start(std::int64_t hour) { return Instant::from_unix_microseconds(hour * hour_us); }

bool within(double value, double low, double high) { return value >= low && value <= high; }

}  // namespace

const char* impossible_field(const HourlyReading& r) {
  const auto temperature = [](const std::optional<Temperature>& t) { return !t || within(t->celsius(), coldest, hottest); };
  if (!temperature(r.temperature)) return "temperature";
  if (!temperature(r.dew_point)) return "dew_point";
  if (r.humidity && !within(*r.humidity, 0.0, 1.0)) return "humidity";
  if (r.cloud && !within(*r.cloud, 0.0, 1.0)) return "cloud";
  if (r.wind && !within(r.wind->metres_per_second(), 0.0, most_wind)) return "wind";
  if (r.gust && !within(r.gust->metres_per_second(), 0.0, most_wind)) return "gust";
  if (r.wind_from && !within(r.wind_from->degrees(), 0.0, 360.0)) return "wind_from";
  if (r.rain && !within(r.rain->millimetres(), 0.0, 500.0)) return "rain";
  if (r.pressure && !within(r.pressure->hectopascals(), 500.0, 1100.0)) return "pressure";
  if (r.temperature && r.dew_point && *r.dew_point - *r.temperature > TemperatureSpan::kelvin(1.0)) return "dew_point";
  return nullptr;
}

namespace {

void complete_humidity(HourlyReading& r) {
  if (!r.temperature) return;
  if (r.dew_point && *r.dew_point > *r.temperature) r.dew_point = *r.temperature;
  if (r.dew_point && !r.humidity) r.humidity = relative_humidity(*r.temperature, *r.dew_point);
  if (r.dew_point || !r.humidity || *r.humidity <= 0.0) return;
  // Air drier than anything measured would break the rows' own law.
  if (const Temperature dew = dew_point(*r.temperature, *r.humidity); dew.celsius() >= coldest) r.dew_point = dew;
}

struct DayInHours {
  std::optional<Temperature> min, max;
  std::size_t temperatures = 0, rains = 0;
  Length rain;
};

}  // namespace

Result<HourlyReadings> HourlyReadings::from_readings(std::vector<HourlyReading> readings) {
  if (readings.empty()) return fail("weather.empty");
  std::stable_sort(readings.begin(), readings.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
  if (readings.back().at - readings.front().at > longest_span) {
    const Zone utc;
    return fail("weather.span_too_long", {{}, 0, "time"},
                {{"first", utc.civil(readings.front().at).date}, {"last", utc.civil(readings.back().at).date}});
  }
  HourlyReadings out;
  out.rows_.reserve(readings.size());
  for (HourlyReading& r : readings) {
    r.at = hour_start(hour_of(r.at));
    if (const char* field = impossible_field(r)) return fail("weather.impossible_reading", {{}, 0, field}, {{"time", r.at.iso_utc()}});
    if (!out.rows_.empty() && out.rows_.back().at == r.at) return fail("weather.duplicate_hour", {}, {{"time", r.at.iso_utc()}});
    complete_humidity(r);
    out.rows_.push_back(r);
  }
  return out;
}

const HourlyReading* HourlyReadings::find(Instant at) const {
  const Instant start = hour_start(hour_of(at));
  const auto found = std::lower_bound(rows_.begin(), rows_.end(), start, [](const HourlyReading& r, Instant t) { return r.at < t; });
  return found != rows_.end() && found->at == start ? &*found : nullptr;
}

HourlyReadings HourlyReadings::continued_by(const HourlyReadings& later) const {
  if (later.empty()) return *this;
  HourlyReadings out;
  for (const HourlyReading& r : rows_)
    if (r.at < later.rows_.front().at) out.rows_.push_back(r);
  out.rows_.insert(out.rows_.end(), later.rows_.begin(), later.rows_.end());
  return out;
}

DailySeries HourlyReadings::days(std::int32_t offset_seconds) const {
  if (rows_.empty()) return {};
  const Zone zone = Zone::fixed(offset_seconds);
  std::map<Date, DayInHours> by_day;
  for (const HourlyReading& r : rows_) {
    DayInHours& day = by_day[zone.civil(r.at).date];
    if (r.temperature) {
      day.min = day.min ? std::min(*day.min, *r.temperature) : *r.temperature;
      day.max = day.max ? std::max(*day.max, *r.temperature) : *r.temperature;
      ++day.temperatures;
    }
    if (r.rain) {
      day.rain = day.rain + *r.rain;
      ++day.rains;
    }
  }
  std::vector<Day> days;
  for (const auto& [date, hours] : by_day) {
    Day day;
    day.date = date;
    if (hours.temperatures >= hours_needed) {
      day.min = hours.min;
      day.max = hours.max;
    }
    if (hours.rains >= hours_needed) day.rain = hours.rain;
    days.push_back(day);
  }
  auto series = DailySeries::from_days(std::move(days));
  return series ? *series : DailySeries{};
}

}  // namespace leafturn::weather
