#include "app/spray_hours.hpp"

#include <algorithm>

#include "app/development.hpp"
#include "app/materials.hpp"
#include "app/spray_ground.hpp"
#include "core/label/judge.hpp"
#include "core/spray/members.hpp"
#include "core/weather/evaporation.hpp"
#include "io/card_toml.hpp"
#include "io/file_bytes.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

using weather::HourlyReadings;

constexpr std::size_t most_members = 40;
constexpr int least_analogues = 10;
constexpr int balance_days = 7;
constexpr std::uint64_t seed = 1;

struct Circumstances {
  spray::Around around;
  Duration needs;
};
Result<Circumstances> circumstances(const AroundTyped& typed, const pest::Library& library) {
  Circumstances out;
  const auto in_flower = yes_no(typed.in_flower, "--in-flower");
  if (!in_flower) return fail(in_flower.error());
  out.around.in_flower = *in_flower;
  const auto drought = yes_no(typed.drought, "--drought");
  if (!drought) return fail(drought.error());
  out.around.drought = *drought;
  if (typed.crop) out.around.cucurbit = is_cucurbit(library, *typed.crop);
  const auto height = [](const std::optional<std::string>& text, const char* field, Length& into) -> Status {
    if (!text) return {};
    const auto read = io::parse_length(*text, field);
    if (!read) return fail(read.error());
    // The profile has no wind below this, and no garden sprayer or mast is higher.
    if (*read < Length::metres(0.2) || *read > Length::metres(100.0)) return fail("spray_hours.height", {{}, 0, field}, {{"given", *text}});
    into = *read;
    return {};
  };
  if (auto ok = height(typed.nozzle_height, "--nozzle-height", out.around.nozzle_height); !ok) return fail(ok.error());
  if (auto ok = height(typed.wind_height, "--wind-height", out.around.wind_height); !ok) return fail(ok.error());
  if (typed.minutes) {
    const auto minutes = io::parse_whole(*typed.minutes, "--minutes", 1, 24 * 60);
    if (!minutes) return fail(minutes.error());
    out.needs = Duration::minutes(*minutes);
  }
  return out;
}

/// By how much the air took more water than the rain gave in the last seven days; nothing without each day's extremes and rain.
std::optional<Length> water_short(const HourlyReadings& told, const weather::Site& site, std::int32_t offset, Instant from) {
  if (told.empty()) return std::nullopt;
  const auto days = told.days(offset);
  const Date today = Zone::fixed(offset).civil(from).date;
  Length balance;
  for (int back = 1; back <= balance_days; ++back) {
    const weather::Day* day = days.find(today - Days{back});
    if (day == nullptr || !day->complete() || !day->rain) return std::nullopt;
    weather::EvaporationDay asked;
    asked.min = *day->min;
    asked.max = *day->max;
    asked.latitude = site.latitude;
    asked.elevation = site.elevation;
    asked.day_of_year = day->date.day_of_year();
    balance += weather::reference_evaporation(asked).water - *day->rain;
  }
  return std::max(balance, Length{});
}

std::int32_t solar_offset(const weather::Site& site) {
  return static_cast<std::int32_t>(site.longitude.degrees() / 15.0 + (site.longitude.degrees() < 0 ? -0.5 : 0.5)) * 3600;
}

/// What no forecast tells and a person must look at before.
std::vector<Reason> asks_of(const spray::SprayLimits& limits, const spray::Around& around) {
  std::vector<Reason> out;
  if (!around.in_flower) out.push_back({"spray_hours.ask.flowers", {}});
  if (!around.drought && (limits.works == spray::Works::oil || limits.works == spray::Works::soap))
    out.push_back({"spray_hours.ask.drought", {}});
  return out;
}

struct Told {
  const HourlyReadings* hours = nullptr;
  weather::Site site;
  bool forecast = false;
};

SprayHoursAnswer answer_for(label::Card card, const pest::Library& library, const Circumstances& given, const Told& told, Instant from,
                            int hours) {
  SprayHoursAnswer out;
  out.card = std::move(card);
  out.limits = spray::limits_of(out.card, library);
  out.around = given.around;
  out.around.water_short = water_short(*told.hours, told.site, solar_offset(told.site), from);
  out.from = from;
  out.hours = hours;
  spray::HoursRequest request{.told = told.hours,
                              .from = from,
                              .hours = hours,
                              .site = told.site,
                              .limits = out.limits,
                              .around = out.around,
                              .needs = given.needs};
  out.told_by = told.forecast ? "forecast" : "record";
  if (told.forecast) {
    request.members = spray::dressed(*told.hours, from, most_members, seed);
  } else if (told.hours->find(from) == nullptr) {
    spray::AnaloguesRequest alike{.record = told.hours, .issued = from, .hours = hours, .most = most_members};
    request.members = spray::analogues(alike);
    if (request.members.size() < least_analogues) request.members.clear();
    if (!request.members.empty()) out.told_by = "past";
  }
  out.members = request.members.size();
  out.found = spray::spray_hours(request);
  out.asks = asks_of(out.limits, out.around);
  return out;
}

bool is_forecast(const io::WeatherContents& file) {
  return file.issued || file.kind == io::WeatherKind::forecast_grid || file.kind == io::WeatherKind::forecast_arrays;
}

/// Everything a garden was told by the hour, as it could be known at a time: the recorded hours before, then the latest forecast's.
struct GardenHours {
  HourlyReadings hours;
  bool forecast = false;
};
Result<GardenHours> hours_of(OpenGarden& garden, const garden::Garden& state, Instant at, Date today) {
  GardenHours out;
  std::optional<io::WeatherContents> latest;
  for (const auto& added : state.weather) {
    auto text = garden.ledger().blob_get(added.what.text);
    if (!text) return fail(text.error());
    auto file = read_added_weather(*text, added.what, state);
    if (!file) return fail(file.error());
    if (!file->hourly || file->hourly->empty()) continue;
    if (is_forecast(*file)) {
      const bool made = file->issued_at ? *file->issued_at <= at : !file->issued || *file->issued <= today;
      if (made && file->hourly->rows().back().at >= at && (!latest || !latest->issued || !file->issued || *file->issued >= *latest->issued))
        latest = std::move(*file);
      continue;
    }
    std::vector<weather::HourlyReading> before;
    for (const auto& row : file->hourly->rows())
      if (row.at + Duration::hours(1) <= at) before.push_back(row);
    if (before.empty()) continue;
    auto known = HourlyReadings::from_readings(std::move(before));
    if (known) out.hours = out.hours.empty() ? std::move(*known) : out.hours.continued_by(*known);
  }
  if (latest) {
    out.hours = out.hours.empty() ? *latest->hourly : out.hours.continued_by(*latest->hourly);
    out.forecast = true;
  }
  return out;
}

void settle(SprayHoursAnswer& answer, const SprayGround& ground, const std::string& bed) {
  answer.zone = ground.zone;
  answer.bed = bed;
  answer.crop = ground.crop;
  answer.units = ground.state.described->units;
}

}  // namespace

Result<SprayHoursAnswer> windows(const WindowsQuestion& question) {
  const auto books = library();
  if (!books) return fail(books.error());
  const auto latitude = io::parse_latitude(question.latitude, "--lat");
  if (!latitude) return fail(latitude.error());
  const auto longitude = io::parse_longitude(question.longitude, "--lon");
  if (!longitude) return fail(longitude.error());
  const auto hours = io::parse_whole(question.hours, "--hours", 1, 240);
  if (!hours) return fail(hours.error());
  const auto given = circumstances(question.around, **books);
  if (!given) return fail(given.error());
  Zone zone;
  if (question.file.zone) {
    auto loaded = io::load_zone(*question.file.zone);
    if (!loaded) return fail(loaded.error());
    zone = std::move(*loaded);
  } else if (const auto own = io::parse_offset_time(question.from, "--from")) {
    zone = Zone::fixed(own->offset_seconds);
  }
  const auto from = io::parse_time(question.from, zone, "--from");
  if (!from) return fail(from.error());
  const auto bytes = io::read_file(question.card);
  if (!bytes) return fail(bytes.error());
  auto card = io::read_card_toml(*bytes, question.card);
  if (!card) return fail(card.error());
  auto contents = read_weather_file(question.file);
  if (!contents) return fail(contents.error());
  if (!contents->hourly || contents->hourly->empty()) return fail("weather.no_hours", {question.file.path, 0, {}});
  const Told told{&*contents->hourly, {*latitude, *longitude, Length{}}, is_forecast(*contents)};
  auto answer = answer_for(std::move(*card), **books, *given, told, *from, *hours);
  answer.zone = std::move(zone);
  answer.notes = std::move(contents->notes);
  answer.crop = question.around.crop;
  return answer;
}

Result<SprayHoursAnswer> garden_spray_hours(OpenGarden& garden, const SprayHoursQuestion& question, Instant now) {
  const auto at = garden.asked_time(question.at, now);
  if (!at) return fail(at.error());
  auto state = garden.garden_at(*at);
  if (!state) return fail(state.error());
  auto ground = spray_ground(garden, std::move(*state), question.bed, question.product, *at);
  if (!ground) return fail(ground.error());
  const auto hours = io::parse_whole(question.hours.value_or("72"), "hours", 1, 120);
  if (!hours) return fail(hours.error());
  AroundTyped typed = question.around;
  if (!typed.crop) typed.crop = ground->crop;
  auto given = circumstances(typed, garden.library());
  if (!given) return fail(given.error());
  given->around.cucurbit = ground->cucurbit;
  auto known = hours_of(garden, ground->state, ground->at, ground->zone.civil(ground->at).date);
  if (!known) return fail(known.error());
  auto answer = answer_for(ground->card, garden.library(), *given, {&known->hours, ground->site, known->forecast}, ground->at, *hours);
  if (known->hours.empty()) answer.notes.push_back({"spray_hours.no_hourly", {}});
  settle(answer, *ground, question.bed);
  return answer;
}

}  // namespace leafturn::app
