#include "app/hatch.hpp"

#include <algorithm>
#include <utility>

#include "app/calendar.hpp"
#include "app/development.hpp"
#include "app/weather_file.hpp"
#include "app/year_ahead.hpp"
#include "core/decision/timing.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {
namespace {

using phenology::Age;
using weather::HourlySeries;

constexpr std::int32_t noon = 12 * 3600;

Result<CivilTime> found_time(const std::string& text) {
  if (const auto time = CivilTime::parse(text)) return text.size() > 10 ? *time : CivilTime{time->date, noon};
  const auto day = io::parse_day(text, "--found");
  if (!day) return fail(day.error());
  return CivilTime{*day, noon};
}

Result<Age> age_of(const std::optional<std::string>& word) {
  for (const Age age : {Age::fresh, Age::unknown, Age::old})
    if (!word ? age == Age::unknown : *word == word_for(age)) return age;
  return fail("hatch.age_word", {{}, 0, "--age"}, {{"given", *word}});
}

/// A stage's key, or a group's first stage.
Result<std::size_t> stage_of(const pest::Dossier& pest, const std::string& word) {
  std::string known;
  for (std::size_t s = 0; s < pest.stages.size(); ++s) {
    if (pest.stages[s].key == word || pest::word_for(pest.stages[s].group) == word) {
      if (s + 1 == pest.stages.size()) return fail("hatch.last_stage", {{}, 0, "--stage"}, {{"given", word}, {"pest", pest.id}});
      return s;
    }
    known += (known.empty() ? "" : ", ") + pest.stages[s].key;
  }
  return fail("app.no_such_stage", {{}, 0, "--stage"}, {{"given", word}, {"pest", pest.id}, {"known", known}}, ErrorKind::not_found);
}

/// Everything but the weather.
Result<HatchAnswer> asked(const pest::Dossier& pest, const HatchQuestion& question) {
  HatchAnswer answer;
  answer.pest = pest;
  const auto stage = stage_of(pest, question.stage.value_or("egg"));
  if (!stage) return fail(stage.error());
  answer.stage = *stage;
  const auto age = age_of(question.age);
  if (!age) return fail(age.error());
  answer.age = *age;
  const auto found = found_time(question.found);
  if (!found) return fail(found.error());
  answer.found = *found;
  return answer;
}

Status go_on(HatchAnswer& answer, const weather::Site& site, const std::vector<HourlySeries>& members) {
  const bool any = !members.empty() && !members.front().days.empty() &&
                   members.front().first + Days{static_cast<std::int32_t>(members.front().days.size())} > answer.found.date &&
                   members.front().first <= answer.found.date;
  if (!any) return fail("hatch.no_weather", {{}, 0, "--found"}, {{"found", answer.found.date.iso()}});
  phenology::HatchRequest request;
  request.dossier = &answer.pest;
  request.site = site;
  request.stage = answer.stage;
  request.found = answer.found;
  request.age = answer.age;
  answer.hatch = phenology::hatch(request, members);
  return {};
}

}  // namespace

std::string_view word_for(Age age) {
  switch (age) {
    case Age::fresh:
      return "fresh";
    case Age::unknown:
      return "unknown";
    case Age::old:
      return "old";
  }
  return "";
}

Result<HatchAnswer> garden_hatch(OpenGarden& garden, const HatchQuestion& question, std::optional<Instant> at, Instant now) {
  const auto pest = pest_of(garden.library(), question.pest);
  if (!pest) return fail(pest.error());
  auto answer = asked(**pest, question);
  if (!answer) return fail(answer.error());
  const auto ground = garden_air(garden, at, now);
  if (!ground) return fail(ground.error());
  answer->weather_last = ground->answer.weather_last;
  answer->offset_seconds = standard_offset(ground->air.site.longitude);
  if (!ground->answer.garden.described) return fail("hatch.no_place", {});
  if (auto done = go_on(*answer, ground->air.site, ground->air.members); !done) return fail(done.error());
  return answer;
}

Result<HatchAnswer> station_hatch(const StationHatchQuestion& question) {
  const auto pest = find_pest(question.what.pest);
  if (!pest) return fail(pest.error());
  auto answer = asked(**pest, question.what);
  if (!answer) return fail(answer.error());
  const auto latitude = io::parse_latitude(question.latitude, "--lat");
  if (!latitude) return fail(latitude.error());
  const auto longitude = io::parse_longitude(question.longitude, "--lon");
  if (!longitude) return fail(longitude.error());
  const weather::Site site{*latitude, *longitude, Length{}};
  std::optional<Date> at;
  if (question.at) {
    const auto day = io::parse_day(*question.at, "--at");
    if (!day) return fail(day.error());
    at = *day;
  }
  auto file = read_weather_file(question.weather, question.units);
  if (!file) return fail(file.error());
  answer->notes = std::move(file->notes);
  const Date end = *Date::from_ymd(answer->found.date.year(), 12, 31);
  std::vector<HourlySeries> members;
  if (!at && file->series.last() >= end) {
    // The year is over: what followed is recorded.
    const auto part = file->series.between(*Date::from_ymd(end.year(), 1, 1) - Days{50}, end + Days{31});
    if (!part.empty())
      members.push_back(weather::hourly(weather::fill_gaps(*weather::DailySeries::from_days({part.begin(), part.end()})), site));
    answer->weather_last = end;
  } else {
    const auto ahead = year_ahead({WeatherFile{file->series, std::nullopt}}, at.value_or(file->series.last() + Days{1}));
    if (!ahead.known.recorded.empty()) answer->weather_last = ahead.known.recorded.last();
    members = decision::air_of(ahead.known, site, answer->found.date).members;
  }
  answer->offset_seconds = standard_offset(*longitude);
  if (auto done = go_on(*answer, site, members); !done) return fail(done.error());
  return answer;
}

}  // namespace leafturn::app
