#include "app/season.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/development.hpp"
#include "app/dossier_page.hpp"
#include "app/weather_file.hpp"
#include "core/decision/timing.hpp"
#include "core/weather/soil.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {
namespace {

using weather::DailySeries;
using weather::HourlySeries;

/// Days before a year that its soil still remembers, and a month after it: a night needs its neighbours.
constexpr Days before_year{50};
constexpr Days after_year{31};

Date year_begin(int year) { return *Date::from_ymd(year, 1, 1); }
Date year_end(int year) { return *Date::from_ymd(year, 12, 31); }

/// The year with what it needs on either side: decades of other years need not be made hourly.
Result<DailySeries> around(const DailySeries& series, int year, const std::string& file) {
  if (series.last() < year_begin(year) || year_end(year) < series.first())
    return fail("season.year_outside", {file, 0, "--year"},
                {{"year", std::to_string(year)}, {"first", series.first().iso()}, {"last", series.last().iso()}});
  const auto part = series.between(year_begin(year) - before_year, year_end(year) + after_year);
  return DailySeries::from_days({part.begin(), part.end()});
}

std::optional<Date> last_complete(const DailySeries& series, int year) {
  std::optional<Date> last;
  for (const auto& day : series.days())
    if (day.date.year() == year && day.complete()) last = day.date;
  return last;
}

/// Everything of a question but the pest, read and ready.
struct Prepared {
  int year = 0;
  std::optional<Date> at, biofix;
  weather::Site site;
  DailySeries recorded;  ///< up to the day before `at`
  std::vector<HourlySeries> members;
  bool whole_year = false;
  std::optional<Date> weather_last;
  std::vector<Reason> notes;
};

Result<std::optional<Date>> maybe_day(const std::optional<std::string>& text, const char* field) {
  if (!text) return std::optional<Date>{};
  const auto day = io::parse_day(*text, field);
  if (!day) return fail(day.error());
  return std::optional<Date>{*day};
}

Result<Prepared> prepare(const SeasonQuestion& question) {
  Prepared out;
  const auto latitude = io::parse_latitude(question.latitude, "--lat");
  if (!latitude) return fail(latitude.error());
  const auto longitude = io::parse_longitude(question.longitude, "--lon");
  if (!longitude) return fail(longitude.error());
  out.site = {*latitude, *longitude, Length{}};
  const auto at = maybe_day(question.at, "--at");
  if (!at) return fail(at.error());
  out.at = *at;
  if (!question.year && !out.at) return fail("season.year_or_at", {{}, 0, "--year"});
  if (question.year) {
    const auto year = io::parse_whole(*question.year, "--year", 1800, 2200);
    if (!year) return fail(year.error());
    out.year = *year;
  }
  if (out.at && question.year && out.at->year() != out.year)
    return fail("season.at_year", {{}, 0, "--at"}, {{"given", *question.at}, {"year", *question.year}});
  if (out.at) out.year = out.at->year();
  const auto biofix = maybe_day(question.biofix, "--biofix");
  if (!biofix) return fail(biofix.error());
  out.biofix = *biofix;
  if (out.biofix && out.biofix->year() != out.year)
    return fail("season.biofix_year", {{}, 0, "--biofix"}, {{"given", *question.biofix}, {"year", std::to_string(out.year)}});

  auto file = read_weather_file(question.weather, question.units);
  if (!file) return fail(file.error());
  const auto part = around(file->series, out.year, question.weather);
  if (!part) return fail(part.error());
  out.notes = std::move(file->notes);
  if (out.at) {
    auto ahead = year_ahead({WeatherFile{file->series, std::nullopt}}, *out.at);
    out.members = decision::air_of(ahead.known, out.site, *out.at).members;
    out.recorded = std::move(ahead.known.recorded);
    out.whole_year = ahead.whole_year;
    out.weather_last = last_complete(out.recorded, out.year);
    // Before the first day of the file nothing is known, and there is nothing to go on from.
    if (out.members.empty())
      return fail("season.nothing_before", {question.weather, 0, "--at"}, {{"at", out.at->iso()}, {"first", file->series.first().iso()}});
    return out;
  }
  out.recorded = std::move(file->series);
  out.members.push_back(weather::hourly(weather::fill_gaps(*part), out.site));
  out.weather_last = last_complete(*part, out.year);
  out.whole_year = out.weather_last == year_end(out.year);
  return out;
}

SeasonAnswer answer_for(const pest::Dossier& pest, const Prepared& prepared, bool compare) {
  SeasonAnswer answer;
  answer.pest = pest;
  answer.year = prepared.year;
  answer.at = prepared.at;
  answer.offset_seconds = standard_offset(prepared.site.longitude);
  answer.weather_last = prepared.weather_last;
  answer.notes = prepared.notes;
  phenology::SeasonRequest request;
  request.dossier = &pest;
  request.site = prepared.site;
  request.year = prepared.year;
  request.biofix = prepared.biofix;
  const Date known_to = prepared.at ? *prepared.at - Days{1} : year_end(prepared.year);
  request.winter_kill = phenology::winter_kill(pest, prepared.recorded, known_to);
  answer.calendar = phenology::calendar(pest, phenology::seasons(request, prepared.members), prepared.whole_year);
  if (prepared.at) answer.next = phenology::next_events(pest, answer.calendar, *prepared.at);
  if (compare)
    answer.comparison = compare_with_past(pest, prepared.recorded, prepared.site, answer.calendar, prepared.year,
                                          prepared.weather_last ? std::min(*prepared.weather_last, known_to) : known_to);
  return answer;
}

}  // namespace

std::int32_t standard_offset(Angle longitude) { return static_cast<std::int32_t>(std::lround(longitude.degrees() / 15.0)) * 3600; }

Result<SeasonAnswer> season(const SeasonQuestion& question) {
  const auto own = pest_or_file(question.pest);
  if (!own) return fail(own.error());
  const auto pest = with_set(*own, question.set);
  if (!pest) return fail(pest.error());
  const auto prepared = prepare(question);
  if (!prepared) return fail(prepared.error());
  return answer_for(*pest, *prepared, question.compare);
}

Result<std::vector<SeasonAnswer>> seasons(const SeasonQuestion& question) {
  const auto all = library();
  if (!all) return fail(all.error());
  const auto prepared = prepare(question);
  if (!prepared) return fail(prepared.error());
  std::vector<SeasonAnswer> out;
  for (const pest::Dossier& pest : (*all)->pests) out.push_back(answer_for(pest, *prepared, question.compare));
  return out;
}

SeasonComparison compare_with_past(const pest::Dossier& pest, const DailySeries& recorded, const weather::Site& site,
                                   const phenology::Calendar& calendar, int year, Date until) {
  SeasonComparison out;
  if (recorded.empty()) return out;
  const Date first = std::max(recorded.first(), year_begin(year - static_cast<int>(phenology::most_years)) - before_year);
  const auto part = recorded.between(first, recorded.last());
  if (part.empty()) return out;
  const auto air = weather::hourly(weather::fill_gaps(*DailySeries::from_days({part.begin(), part.end()})), site);
  if (const auto rule = phenology::heat_rule(pest))
    out.heat = phenology::compare_heat(*rule, rule->in_soil ? weather::soil_at_5cm(air) : air, year, until);
  std::vector<phenology::PastSeason> past;
  for (int y = year - 1; y >= first.year() && past.size() < phenology::most_years; --y) {
    const HourlySeries one = weather::part_of(air, year_begin(y) - before_year, year_end(y));
    phenology::SeasonRequest request;
    request.dossier = &pest;
    request.site = site;
    request.year = y;
    request.air = &one;
    request.winter_kill = phenology::winter_kill(pest, recorded, year_end(y));
    auto season = phenology::season(request);
    // A year with days missing after its start is late by them: no year to compare with.
    if (season.gaps.empty() && one.first <= year_begin(y) && one.find(year_end(y)) != nullptr) past.push_back({y, std::move(season)});
  }
  out.years = past.size();
  out.dates = phenology::compare_dates(pest, calendar, year, past);
  return out;
}

}  // namespace leafturn::app
