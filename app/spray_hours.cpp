#include "app/spray_hours.hpp"

#include <algorithm>

#include "app/development.hpp"
#include "app/materials.hpp"
#include "core/label/judge.hpp"
#include "core/spray/members.hpp"
#include "core/weather/evaporation.hpp"
#include "io/card_toml.hpp"
#include "io/file_bytes.hpp"
#include "io/garden_rows.hpp"
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

Result<std::optional<bool>> yes_no(const std::optional<std::string>& text, const char* field) {
  if (!text || text->empty()) return std::optional<bool>{};
  if (*text == "yes") return std::optional{true};
  if (*text == "no") return std::optional{false};
  return fail("spray_hours.yes_no", {{}, 0, field}, {{"given", *text}});
}

/// A crop of group 9 of 40 CFR 180.41.
bool is_cucurbit(const pest::Library& library, const std::string& eppo) {
  const pest::Crop* crop = library.crop(eppo);
  return crop != nullptr && std::any_of(crop->label_groups.begin(), crop->label_groups.end(),
                                        [](const auto& member) { return !member.group.empty() && member.group.front() == '9'; });
}

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

/// What every question about spraying in a garden rests on.
struct Ground {
  garden::Garden state;
  Zone zone;
  Instant at;
  label::Card card;
  weather::Site site;
  std::optional<std::string> crop;
};
Result<Ground> ground_of(OpenGarden& garden, const std::string& bed, const std::string& product, std::optional<Instant> asked,
                         Instant now) {
  Ground out;
  const auto at = garden.asked_time(asked, now);
  if (!at) return fail(at.error());
  out.at = *at;
  auto state = garden.garden_at(*at);
  if (!state) return fail(state.error());
  out.state = std::move(*state);
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  out.zone = std::move(*zone);
  if (!out.state.described) return fail("spray_hours.no_place", {}, {}, ErrorKind::not_found);
  out.site = {out.state.described->latitude, out.state.described->longitude, out.state.described->elevation};
  if (out.state.bed(bed) == nullptr) {
    std::vector<std::string> names;
    for (const garden::BedLaid& laid : out.state.beds) names.push_back(laid.bed);
    return fail("garden.no_such_bed", {{}, 0, "--bed"}, {{"bed", bed}, {"nearest", io::nearest_words(bed, std::move(names), 3)}},
                ErrorKind::not_found);
  }
  const auto standing = out.state.standing(bed, *at, out.zone.civil(*at).date);
  if (!standing.empty()) out.crop = standing.front()->sown.crop;
  const garden::Dated<garden::CardCopied>* latest = nullptr;
  for (const auto& copied : out.state.cards)
    if (copied.what.product == product) latest = &copied;
  if (latest == nullptr) return fail("treat.no_such_card", {{}, 0, "product"}, {{"product", product}}, ErrorKind::not_found);
  auto cards = cards_of(garden, out.state);
  if (!cards) return fail(cards.error());
  const auto card = cards->find(latest->what.text);
  if (card == cards->end()) return fail("treat.no_such_card", {{}, 0, "product"}, {{"product", product}}, ErrorKind::not_found);
  out.card = card->second;
  return out;
}

void settle(SprayHoursAnswer& answer, const Ground& ground, const std::string& bed) {
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
  auto ground = ground_of(garden, question.bed, question.product, question.at, now);
  if (!ground) return fail(ground.error());
  const auto hours = io::parse_whole(question.hours.value_or("72"), "hours", 1, 120);
  if (!hours) return fail(hours.error());
  AroundTyped typed = question.around;
  if (!typed.crop) typed.crop = ground->crop;
  const auto given = circumstances(typed, garden.library());
  if (!given) return fail(given.error());
  auto known = hours_of(garden, ground->state, ground->at, ground->zone.civil(ground->at).date);
  if (!known) return fail(known.error());
  auto answer = answer_for(ground->card, garden.library(), *given, {&known->hours, ground->site, known->forecast}, ground->at, *hours);
  if (known->hours.empty()) answer.notes.push_back({"spray_hours.no_hourly", {}});
  settle(answer, *ground, question.bed);
  return answer;
}

Result<StartAnswer> spray_start(OpenGarden& garden, const StartTyped& typed, Instant now) {
  auto ground = ground_of(garden, typed.bed, typed.product, typed.at, now);
  if (!ground) return fail(ground.error());
  StartAnswer out;
  out.bed.at = ground->at;
  const auto read = [](const std::optional<std::string>& text, const char* field, auto parse, auto& into) -> Status {
    if (!text || text->empty()) return {};
    auto value = parse(*text, field);
    if (!value) return fail(value.error());
    into = *value;
    return {};
  };
  const auto answered = [](const std::optional<std::string>& text, const char* field, std::optional<bool>& into) -> Status {
    const auto value = yes_no(text, field);
    if (!value) return fail(value.error());
    into = *value;
    return {};
  };
  const auto percent = [](const std::string& text, const char* field) -> Result<double> {
    std::string digits = text;
    if (!digits.empty() && digits.back() == '%') digits.pop_back();
    const auto whole = io::parse_whole(digits, field, 1, 100);
    if (!whole) return fail(whole.error());
    return *whole / 100.0;
  };
  Length above = Length::metres(0.5);
  std::optional<bool> drought;
  if (auto ok = read(typed.wind, "wind", io::parse_speed, out.bed.wind); !ok) return fail(ok.error());
  if (auto ok = read(typed.temperature, "temperature", io::parse_temperature, out.bed.temperature); !ok) return fail(ok.error());
  if (auto ok = read(typed.humidity, "humidity", percent, out.bed.humidity); !ok) return fail(ok.error());
  if (auto ok = read(typed.nozzle_above, "nozzle_above", io::parse_length, above); !ok) return fail(ok.error());
  if (auto ok = answered(typed.people_clear, "people_clear", out.bed.people_clear); !ok) return fail(ok.error());
  if (auto ok = answered(typed.in_flower, "in_flower", out.bed.in_flower); !ok) return fail(ok.error());
  if (auto ok = answered(typed.dry, "dry", out.bed.dry); !ok) return fail(ok.error());
  if (auto ok = answered(typed.dry_ahead, "dry_ahead", out.bed.dry_ahead); !ok) return fail(ok.error());
  if (auto ok = answered(typed.drought, "drought", drought); !ok) return fail(ok.error());
  out.ground.card = ground->card;
  out.ground.limits = spray::limits_of(ground->card, garden.library());
  out.ground.around.drought = drought;
  if (ground->crop) out.ground.around.cucurbit = is_cucurbit(garden.library(), *ground->crop);
  out.ground.from = ground->at;
  settle(out.ground, *ground, typed.bed);
  const label::Droplets* droplets = ground->card.conditions.droplets.value();
  const Length people = label::exclusion_distance(droplets != nullptr ? std::optional{*droplets} : std::nullopt, above);
  out.found = spray::start_found(out.bed, ground->site, out.ground.limits, out.ground.around, people);
  return out;
}

}  // namespace leafturn::app
