#include "app/add_weather.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <limits>

#include "app/materials.hpp"
#include "app/record.hpp"
#include "core/base/sha256.hpp"
#include "io/file_bytes.hpp"

namespace leafturn::app {
namespace {

constexpr const char* writer = "command-line";

Result<std::optional<garden::FileUnits>> units_typed(const std::optional<std::string>& word) {
  if (!word) return std::optional<garden::FileUnits>{};
  const auto choice = io::parse_units(*word);
  if (!choice) return fail("weather.units_word", {{}, 0, "--units"}, {{"given", *word}});
  switch (*choice) {
    case io::UnitsChoice::fahrenheit:
      return std::optional{garden::FileUnits::fahrenheit};
    case io::UnitsChoice::celsius:
      return std::optional{garden::FileUnits::celsius};
    case io::UnitsChoice::us:
      return std::optional{garden::FileUnits::us};
    case io::UnitsChoice::tenths:
      return std::optional{garden::FileUnits::tenths};
    case io::UnitsChoice::si:
      break;
  }
  return std::optional{garden::FileUnits::si};
}

/// Whether what the garden goes by under this name, as of that time, is this very file.
bool had(const garden::Garden& state, const garden::WeatherAdded& added, Instant at) {
  const garden::WeatherAdded* latest = nullptr;
  for (const auto& earlier : state.weather)
    if (earlier.what.name == added.name && earlier.at == at) latest = &earlier.what;
  return latest != nullptr && latest->text == added.text && latest->units == added.units && latest->station == added.station;
}

}  // namespace

Result<AddedWeather> add_weather(OpenGarden& garden, std::string_view bytes, const WeatherTyped& typed, Instant now) {
  const auto units = units_typed(typed.units);
  if (!units) return fail(units.error());
  const garden::WeatherAdded saying{typed.name, sha256(bytes), *units, typed.station.value_or("")};
  const auto chronicle = garden.chronicle();
  if (!chronicle) return fail(chronicle.error());
  const auto state = chronicle->at(Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2));
  auto file = read_added_weather(bytes, saying, state);
  if (!file) return fail(file.error());
  const auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  const Instant at = file->issued ? zone->start_of(*file->issued) : chronicle->beginning().value_or(now);

  const auto& days = file->series.days();
  const auto complete = std::count_if(days.begin(), days.end(), [](const auto& day) { return day.complete(); });
  AddedWeather added{saying.name,
                     saying.text,
                     static_cast<std::size_t>(complete),
                     file->series.first(),
                     file->series.last(),
                     file->issued,
                     std::move(file->notes),
                     {}};
  if (had(state, saying, at)) return added;
  if (auto put = garden.ledger().blob_put(bytes); !put) return fail(put.error());
  auto outcome = record_saying(garden, saying, writer, typed.by, at, now);
  if (!outcome) return fail(outcome.error());
  added.receipt = outcome->receipt;
  return added;
}

Result<AddedWeather> add_weather_file(OpenGarden& garden, const std::string& path, WeatherTyped typed, Instant now) {
  const auto bytes = io::read_file(path);
  if (!bytes) return fail(bytes.error());
  if (typed.name.empty()) typed.name = std::filesystem::path(path).filename().string();
  auto added = add_weather(garden, *bytes, typed, now);
  if (!added && added.error().where.file == typed.name) added.error().where.file = path;
  return added;
}

}  // namespace leafturn::app
