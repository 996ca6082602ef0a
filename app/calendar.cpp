#include "app/calendar.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "app/moment.hpp"
#include "core/weather/soil.hpp"

namespace leafturn::app {
namespace {

using phenology::Season;
using weather::HourlySeries;

constexpr double worth_showing = 0.005;

std::vector<std::string> crops_of(const garden::Garden& garden, const pest::Dossier& pest, Instant at, Date day) {
  std::set<std::string> crops;
  for (const auto& bed : garden.beds)
    for (const auto* planting : garden.standing(bed.bed, at, day))
      if (std::any_of(pest.hosts.begin(), pest.hosts.end(),
                      [&](const auto& h) { return h.crop == planting->sown.crop && h.preference > 0; }))
        crops.insert(planting->sown.crop);
  return {crops.begin(), crops.end()};
}

std::vector<StandNow> stand_on(const Season& season, Date day) {
  std::vector<StandNow> out;
  for (const auto& stand : season.days) {
    if (stand.date != day) continue;
    for (std::size_t g = 0; g < stand.share.size(); ++g)
      for (std::size_t s = 0; s < stand.share[g].size(); ++s)
        if (stand.share[g][s] >= worth_showing) out.push_back({static_cast<int>(g), s, stand.share[g][s]});
  }
  return out;
}

/// Heat from the beginning of `from` to `time` in one future.
double heat_between(const HourlySeries& felt, const phenology::HeatRule& rule, Date from, const CivilTime& time) {
  double sum = 0.0;
  for (Date d = from; d <= time.date; d = d + Days{1})
    if (const weather::HourlyDay* day = felt.find(d))
      for (std::size_t h = 0; h < 24 && (d < time.date || static_cast<double>(h) < time.hour()); ++h) {
        const Temperature t = rule.upper ? std::min((*day)[h], *rule.upper) : (*day)[h];
        sum += std::max(0.0, (t - rule.lower).kelvin()) / 24.0;
      }
  return sum;
}

std::optional<CivilTime> time_of(const Season& season, const phenology::NextEvent& event) {
  const auto number = static_cast<std::size_t>(event.generation);
  if (number > season.generations.size()) return std::nullopt;
  const auto& generation = number == 0 ? season.overwintered : season.generations[number - 1];
  for (const auto& entry : generation.stages)
    if (entry.stage == event.stage) return phenology::mark_of(entry.enter, event.mark);
  return std::nullopt;
}

std::vector<ComingEvent> coming(const pest::Dossier& pest, const phenology::Calendar& calendar, const std::vector<Season>& seasons,
                                const decision::Air& air) {
  std::vector<ComingEvent> out;
  const auto rule = phenology::heat_rule(pest);
  for (const auto& event : phenology::next_events(pest, calendar, air.today)) {
    ComingEvent one{event, std::nullopt};
    double sum = 0.0;
    int reached = 0;
    for (std::size_t m = 0; rule && m < seasons.size(); ++m)
      if (const auto time = time_of(seasons[m], event)) {
        sum += heat_between(rule->in_soil ? weather::soil_at_5cm(air.members[m]) : air.members[m], *rule, air.today, *time);
        ++reached;
      }
    if (reached > 0) one.heat_left = DegreeDays::celsius_days(sum / reached);
    out.push_back(one);
  }
  return out;
}

// Far enough for what comes next of nearly every pest; a whole year in every future takes three times as long.
constexpr Days days_of_a_summary{60};

/// `last`: no further than this day; absent = to the year's end.
PestCalendar calendar_of(const GardenAir& ground, const decision::BriefRequest& request_of, const pest::Dossier& pest,
                         std::optional<Date> last) {
  PestCalendar out;
  out.pest = &pest;
  const Date today = ground.air.today;
  out.crops = crops_of(ground.answer.garden, pest, ground.answer.at, today);
  out.found = decision::first_find(request_of, pest, today.year());
  out.winter_kill = phenology::winter_kill(pest, ground.weather.recorded, today);
  if (!ground.answer.garden.described || ground.air.members.empty()) {
    out.calendar.biofix.code = ground.answer.garden.described ? "biofix.no_weather" : "biofix.no_place";
    return out;
  }
  out.migrant = phenology::comes_as_migrant(pest, ground.air.site);
  phenology::SeasonRequest request;
  request.dossier = &pest;
  request.site = ground.air.site;
  request.year = today.year();
  request.winter_kill = out.winter_kill;
  request.last = last;
  const auto [seasons, begun] = phenology::local_seasons(request, ground.air.members, out.found, today);
  out.calendar = phenology::calendar(pest, seasons, ground.answer.whole_year && !last);
  if (begun < seasons.size()) out.now = stand_on(seasons[begun], today - Days{1});
  out.next = coming(pest, out.calendar, seasons, ground.air);
  return out;
}

decision::BriefRequest request_for(const OpenGarden& garden, const GardenAir& ground) {
  decision::BriefRequest request;
  request.library = &garden.library();
  request.garden = &ground.answer.garden;
  request.zone = ground.answer.zone;
  request.at = ground.answer.at;
  return request;
}

}  // namespace

Result<GardenAir> garden_air(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto moment = moment_of(garden, at, now);
  if (!moment) return fail(moment.error());
  GardenAir ground;
  CalendarAnswer& answer = ground.answer;
  answer.at = moment->at;
  answer.zone = std::move(moment->zone);
  answer.day = moment->day;
  answer.garden = std::move(moment->garden);
  auto ahead = year_ahead(moment->files, answer.day);
  answer.whole_year = ahead.whole_year;
  answer.future = ahead.known.future;
  answer.forecast_last = ahead.known.forecast_last;
  if (!ahead.known.recorded.empty()) answer.weather_last = ahead.known.recorded.last();
  weather::Site site;
  if (const auto& described = answer.garden.described) {
    answer.units = described->units;
    site = {described->latitude, described->longitude, described->elevation};
  }
  ground.air = decision::air_of(ahead.known, site, answer.day);
  ground.weather = std::move(ahead.known);
  return ground;
}

Result<const pest::Dossier*> pest_of(const pest::Library& library, const std::string& name) {
  if (const auto* pest = library.pest(name)) return pest;
  std::string known;
  for (const auto& pest : library.pests) known += (known.empty() ? "" : ", ") + pest.id;
  return fail("app.no_such_pest", {{}, 0, "PEST"}, {{"given", name}, {"known", known}}, ErrorKind::not_found);
}

Result<CalendarAnswer> garden_calendar(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  auto ground = garden_air(garden, at, now);
  if (!ground) return fail(ground.error());
  const auto request = request_for(garden, *ground);
  for (const pest::Dossier& pest : garden.library().pests) {
    if (!decision::has_host(request, pest, ground->answer.day)) continue;
    PestCalendar near = calendar_of(*ground, request, pest, ground->answer.day + days_of_a_summary);
    // Nothing within two months, or not out by then: only the whole year can say so.
    const bool may_come = near.next.empty() && (near.calendar.biofix.date || near.calendar.biofix.code == "biofix.not_yet");
    ground->answer.pests.push_back(may_come ? calendar_of(*ground, request, pest, std::nullopt) : std::move(near));
  }
  return std::move(ground->answer);
}

Result<CalendarAnswer> pest_calendar(OpenGarden& garden, const std::string& pest, std::optional<Instant> at, Instant now) {
  const auto dossier = pest_of(garden.library(), pest);
  if (!dossier) return fail(dossier.error());
  auto ground = garden_air(garden, at, now);
  if (!ground) return fail(ground.error());
  PestCalendar one = calendar_of(*ground, request_for(garden, *ground), **dossier, std::nullopt);
  if (ground->answer.garden.described && !ground->weather.recorded.empty())
    one.comparison = compare_with_past(**dossier, ground->weather.recorded, ground->air.site, one.calendar, ground->answer.day.year(),
                                       ground->answer.day - Days{1});
  ground->answer.pests.push_back(std::move(one));
  return std::move(ground->answer);
}

Result<std::shared_ptr<const CalendarAnswer>> CalendarCache::get(OpenGarden& garden, const std::string& pest, std::optional<Instant> at,
                                                                 Instant now) {
  return kept_.get(garden, pest, at, now,
                   [&] { return pest.empty() ? garden_calendar(garden, at, now) : pest_calendar(garden, pest, at, now); });
}

}  // namespace leafturn::app
