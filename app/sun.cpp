#include "app/sun.hpp"

#include "io/quantity_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {

Result<SunAnswer> sun(const SunQuestion& question) {
  const auto at = io::parse_offset_time(question.at, "--at");
  if (!at) return fail(at.error());
  const auto latitude = io::parse_latitude(question.latitude, "--lat");
  if (!latitude) return fail(latitude.error());
  const auto longitude = io::parse_longitude(question.longitude, "--lon");
  if (!longitude) return fail(longitude.error());
  weather::Site site{*latitude, *longitude, Length{}};
  if (question.elevation) {
    const auto elevation = io::parse_elevation(*question.elevation, "--elevation");
    if (!elevation) return fail(elevation.error());
    site.elevation = *elevation;
  }
  weather::Air air;
  if (question.pressure) {
    const auto pressure = io::parse_pressure(*question.pressure, "--pressure");
    if (!pressure) return fail(pressure.error());
    air.pressure = *pressure;
  }
  if (question.temperature) {
    const auto temperature = io::parse_temperature(*question.temperature, "--temp");
    if (!temperature) return fail(temperature.error());
    air.temperature = *temperature;
  }

  SunAnswer answer;
  answer.asked = question;
  answer.at = at->at;
  answer.offset_seconds = at->offset_seconds;
  answer.position = weather::sun_position(at->at, site, air);
  const Date day = Zone::fixed(at->offset_seconds).civil(at->at).date;
  answer.day = weather::sun_day(day, site, at->offset_seconds);
  return answer;
}

}  // namespace leafturn::app
