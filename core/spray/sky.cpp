#include "core/spray/sky.hpp"

#include <cmath>
#include <optional>

#include "core/weather/sun.hpp"

namespace leafturn::spray {
namespace {

constexpr Duration an_hour = Duration::hours(1);

bool overlap(Instant begin, Instant end, Instant from, Instant to) { return begin < to && from < end; }

// The days around an hour: an hour at a site far from its meridian can touch the day before or after.
class Days3 {
 public:
  Days3(const weather::Site& site, std::int32_t offset) : site_{site}, offset_{offset} {}
  const weather::SunDay& on(Date day) {
    for (const auto& [date, sun] : known_)
      if (date == day) return sun;
    known_.emplace_back(day, weather::sun_day(day, site_, offset_));
    return known_.back().second;
  }

 private:
  weather::Site site_;
  std::int32_t offset_;
  std::vector<std::pair<Date, weather::SunDay>> known_;
};

}  // namespace

std::vector<SkyHour> sky_of(Instant from, int hours, const weather::Site& site) {
  const auto offset = static_cast<std::int32_t>(std::lround(site.longitude.degrees() / 15.0)) * 3600;
  const Zone solar = Zone::fixed(offset);
  Days3 days{site, offset};
  std::vector<SkyHour> out;
  for (int h = 0; h < hours; ++h) {
    const Instant begin = from + Duration::hours(h);
    const Instant end = begin + an_hour;
    const Date today = solar.civil(begin).date;
    SkyHour sky;
    bool warming = false;  // the whole hour lies in a day's warming part
    for (const int d : {-1, 0, 1}) {
      const weather::SunDay& sun = days.on(today + Days{d});
      const bool all_day = sun.day_length_hours >= 24.0;
      const Instant rise = sun.rise.value_or(solar.start_of(today + Days{d}));
      const Instant set = sun.set.value_or(solar.start_of(today + Days{d + 1}));
      if (!all_day && sun.day_length_hours <= 0.0) continue;
      if (overlap(begin, end, rise, set)) sky.daylight = true;
      if (all_day && d == 0) warming = true;
      if (rise + an_hour <= begin && end <= set + Duration::hours(-1)) warming = true;
      if (overlap(begin, end, rise + Duration::hours(-1), sun.transit)) sky.squash_flowers = true;
    }
    sky.cooling = !warming;
    sky.sun = Angle::degrees(90.0) - weather::sun_position(begin + Duration::minutes(30), site).zenith;
    out.push_back(sky);
  }
  return out;
}

}  // namespace leafturn::spray
