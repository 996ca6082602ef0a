#include "app/season.hpp"

#include <cmath>
#include <utility>

#include "app/development.hpp"
#include "app/weather_file.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {
namespace {

/// Standard time of the nearest whole-hour meridian, as weather::hourly keeps it.
std::int32_t standard_offset(Angle longitude) { return static_cast<std::int32_t>(std::lround(longitude.degrees() / 15.0)) * 3600; }

/// The year with a month on either side: a night needs its neighbours, and decades of other years need not be made hourly.
Result<weather::DailySeries> around(const weather::DailySeries& series, int year, const std::string& file) {
  const Date first = *Date::from_ymd(year, 1, 1);
  const Date last = *Date::from_ymd(year, 12, 31);
  if (series.last() < first || last < series.first())
    return fail("season.year_outside", {file, 0, "--year"},
                {{"year", std::to_string(year)}, {"first", series.first().iso()}, {"last", series.last().iso()}});
  const auto part = series.between(first - Days{31}, last + Days{31});
  return weather::DailySeries::from_days({part.begin(), part.end()});
}

std::optional<Date> last_complete(const weather::DailySeries& series, int year) {
  std::optional<Date> last;
  for (const auto& day : series.days())
    if (day.date.year() == year && day.complete()) last = day.date;
  return last;
}

}  // namespace

Result<SeasonAnswer> season(const SeasonQuestion& question) {
  const auto pest = find_pest(question.pest);
  if (!pest) return fail(pest.error());
  const auto latitude = io::parse_latitude(question.latitude, "--lat");
  if (!latitude) return fail(latitude.error());
  const auto longitude = io::parse_longitude(question.longitude, "--lon");
  if (!longitude) return fail(longitude.error());
  const auto year = io::parse_whole(question.year, "--year", 1800, 2200);
  if (!year) return fail(year.error());
  std::optional<Date> biofix;
  if (question.biofix) {
    const auto day = io::parse_day(*question.biofix, "--biofix");
    if (!day) return fail(day.error());
    if (day->year() != *year)
      return fail("season.biofix_year", {{}, 0, "--biofix"}, {{"given", *question.biofix}, {"year", question.year}});
    biofix = *day;
  }

  auto file = read_weather_file(question.weather, question.units);
  if (!file) return fail(file.error());
  const auto series = around(file->series, *year, question.weather);
  if (!series) return fail(series.error());

  SeasonAnswer answer;
  answer.pest = **pest;
  answer.year = *year;
  answer.offset_seconds = standard_offset(*longitude);
  answer.weather_last = last_complete(*series, *year);
  answer.notes = std::move(file->notes);
  const weather::Site site{*latitude, *longitude, Length{}};
  const auto air = weather::hourly(weather::fill_gaps(*series), site);
  answer.season =
      phenology::season({.dossier = &answer.pest, .air = &air, .site = site, .year = *year, .biofix = biofix, .last = std::nullopt});
  return answer;
}

}  // namespace leafturn::app
